// Access to the lists of the compiled problem and of the state, whose indices are ids that were made once, at the door.

/** The element of a list that an id names. A missing one is a fault of the code: it throws. */
export function element<T>(list: ArrayLike<T>, id: number): T {
  const found = list[id]
  if (found === undefined) throw new RangeError(`no element ${id} in a list of ${list.length}`)
  return found
}
