// Where something belongs in a sorted list.

/** Index of the first element that is not before, in a list whose elements that are before come first; its length where all are. */
export function partitionPoint<Element>(list: readonly Element[], isBefore: (element: Element) => boolean): number {
  let [low, high] = [0, list.length]
  while (low < high) {
    const middle = (low + high) >> 1
    const element = list[middle]
    if (element !== undefined && isBefore(element)) low = middle + 1
    else high = middle
  }
  return low
}
