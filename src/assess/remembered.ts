/** Remembers what follows from an object for as long as the object lives: a rule set or a record never changes. */
export function remembered<K extends object, V>(work: (key: K) => V): (key: K) => V {
  const known = new WeakMap<K, V>();
  return (key) => {
    if (known.has(key)) return known.get(key) as V;
    const value = work(key);
    known.set(key, value);
    return value;
  };
}
