// Grouping by keys, for rows of the model that sum over what is alike.

/** The things with equal keys together, in the order in which their keys first appear. */
export function grouped<Thing>(
  things: Iterable<Thing>,
  keyOf: (thing: Thing) => readonly (string | number)[],
): Thing[][] {
  const groups = new Map<string, Thing[]>()
  for (const thing of things) {
    const key = JSON.stringify(keyOf(thing))
    const group = groups.get(key)
    if (group) group.push(thing)
    else groups.set(key, [thing])
  }
  return [...groups.values()]
}
