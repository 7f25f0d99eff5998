// What a place must have lost or found, so that it never holds less than nothing and holds what was counted.
import { byOrder, type Posting } from './entry.ts'
import { kindOf, type Place, type Sink, type Unit } from './place.ts'

/**
 * The entries that settle a place: something was found where more left than it held, and what it held beyond a count was
 * lost, or found where less. `opening` is what it held before the first of the postings. Postings that settle are passed over;
 * the answer is in the order of what happened and replaces them.
 */
export function settlePlace(place: Place, opening: number, postings: readonly Posting[]): Posting[] {
  const settling: Posting[] = []
  let held = opening
  const settle = (by: Posting, missing: number, lost: Sink) => {
    if (missing === 0) return
    const { factId, unit, day, rank, recorded } = by
    const movement = missing > 0 ? { from: 'FOUND', to: place } : { from: place, to: lost }
    settling.push({ factId, unit, day, rank, recorded, amount: Math.abs(missing), ...movement, settles: true })
    held += missing
  }
  for (const each of [...postings].sort(byOrder)) {
    if (each.settles) continue
    held += change(place, each)
    if (held < 0) settle(each, -held, 'LOST')
    if (each.setsTo !== undefined && each.from === place) settle(each, each.setsTo - held, lostTo(each))
  }
  return settling
}

/** How a posting changes what a place holds. */
export function change(place: Place, { from, to, amount }: Pick<Posting, 'from' | 'to' | 'amount'>): number {
  return (to === place ? amount : 0) - (from === place ? amount : 0)
}

/** Where goes what is there beyond a count: a mark says so by its target. */
function lostTo({ to }: Posting): Sink {
  const kind = kindOf(to)
  return kind === 'REMAINDER' || kind === 'DUMPED' || kind === 'SCRAPPED' ? kind : 'LOST'
}

/** The places that a posting touches, with its unit. */
export function placesOf({ from, to, unit }: Pick<Posting, 'from' | 'to' | 'unit'>): { place: Place; unit: Unit }[] {
  return [from, to].map((place) => ({ place, unit }))
}
