import { randomNetwork } from '/work/main/test/outside/random-networks.ts';
import { enumerate, settle } from '/work/main/test/outside/small-network.ts';
for (const [label, shape] of [
 ['tree', { causes: 4, mechanisms: 0, findings: 6, links: 3, tree: true }],
 ['treeM', { causes: 4, mechanisms: 2, findings: 6, links: 3, tree: true }],
 ['loopS', { causes: 5, mechanisms: 0, findings: 8, links: 3, tree: false }],
 ['loopM', { causes: 8, mechanisms: 0, findings: 12, links: 4, tree: false }],
 ['loopMech', { causes: 5, mechanisms: 2, findings: 8, links: 3, tree: false }],
 ['loopMech5', { causes: 5, mechanisms: 5, findings: 10, links: 3, tree: false }],
] as const) {
  let worst = 0, sum = 0, n = 0, top = 0, methods:any = {}, sweeps=0; const t = performance.now(); const all:number[]=[]; let where=0, cases=0;
  for (let seed = 1; seed <= 300; seed++) {
    const small = randomNetwork(seed, shape); const s = settle(small); const e = enumerate(small);
    methods[s.beliefs.method]=(methods[s.beliefs.method]??0)+1; sweeps=Math.max(sweeps,s.beliefs.sweeps);
    const names=[...Object.keys(small.causes)]; 
    for (const k of [...names, ...Object.keys(small.mechanisms??{})]) { const d = Math.abs(s.p(k) - e.get(k)!); sum += d; n++; all.push(d); if (d > worst) {worst = d; where=seed;} }
    const b=(f:any)=>names.reduce((a,c)=>f(c)>f(a)?c:a); top+= b(s.p)===b((k:string)=>e.get(k))?1:0; cases++;
  }
  all.sort((a,b)=>a-b);
  console.log(label, 'mean', sum / n, 'worst', worst, 'seed', where, 'p99', all[Math.floor(all.length*.99)], 'top', top/cases, methods, sweeps, (performance.now() - t).toFixed(0)+'ms');
}
import * as bj from 'bayesjs'; 
