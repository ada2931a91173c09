/** Prints `N passed, N failed` as the last line of a run, so that any reader of the log can count. */
import type { Reporter, TestModule, TestRunEndReason } from 'vitest/node';

interface Errors {
  readonly length: number;
}

export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], errors: Errors, reason: TestRunEndReason): void {
    let passed = 0;
    // a module that could not be loaded has no tests to fail, and fails all the same
    let failed =
      errors.length + modules.filter((m) => m.state() === 'failed' && m.errors().length > 0).length;
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        if (state === 'passed') passed++;
        else failed++; // a skipped or pending test is not a passed one
      }
    }
    // no test file found, or something that no test stands for: a run that did not pass never says "0 failed"
    if (reason !== 'passed') failed = Math.max(1, failed);
    // after the default reporter's own summary; on a terminal the cursor is shown again without a line end
    process.on('exit', () => process.stdout.write(`\n${passed} passed, ${failed} failed\n`));
  }
}
