// The minutes that a filler needs (L1), as its document says them.
import type { Filler } from './problem.ts'

/** Minutes of a set-up for a beer; none where a map by beer does not name it. */
export function setupMinutes({ setupMinutes: minutes }: Pick<Filler, 'setupMinutes'>, beerId: string): number {
  return typeof minutes === 'number' ? minutes : (own(minutes, beerId) ?? 0)
}

/** Minutes for one container of a type; undefined where the filler cannot fill it. */
export function minutesEach(
  { minutesEach: minutes }: Pick<Filler, 'minutesEach'>,
  containerTypeId: string,
): number | undefined {
  return own(minutes, containerTypeId)
}

/** The value that a map itself has under a key; an id may be called like an object's built-in property. */
function own(map: Readonly<Record<string, number>>, key: string): number | undefined {
  return Object.hasOwn(map, key) ? map[key] : undefined
}
