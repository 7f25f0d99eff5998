// How ruins choose among the lines that they find: the nearest, or any.
import type { Batch } from '../../model/batch.ts'
import type { LineModel } from '../../model/model.ts'
import { below, type Random } from '../../model/random.ts'

/** Lines that draw from some batches; by chance where there are more than `most`. */
export function usersOf(batches: Batch[], random: Random, most: number): LineModel[] {
  const found = new Set<LineModel>()
  for (const batch of batches) for (const user of batch.users) found.add(user.line)
  return sample([...found], random, most)
}

/** The lines nearest to one in time, the nearest first; of equals those that are earlier in the list, which goes by `index`. */
export function nearest(lines: readonly LineModel[], centre: LineModel, most: number): LineModel[] {
  const found: LineModel[] = []
  // Few of many are wanted: each is put in its place among them, if it has one.
  for (const line of lines) {
    const distance = Math.abs(line.serveOn - centre.serveOn)
    let at = found.length
    while (at > 0 && Math.abs(found[at - 1].serveOn - centre.serveOn) > distance) at--
    if (at >= most) continue
    found.splice(at, 0, line)
    if (found.length > most) found.pop()
  }
  return found
}

/** Some of a list, by chance; reorders it. */
export function sample<T>(list: T[], random: Random, most: number): T[] {
  for (let at = 0; at < Math.min(most, list.length); at++) {
    const other = at + below(random, list.length - at)
    const held = list[at]
    list[at] = list[other]
    list[other] = held
  }
  return list.slice(0, most)
}

/** One of a list, by chance; undefined where it is empty. */
export function pick<T>(random: Random, list: T[]): T | undefined {
  return list[below(random, list.length)]
}
