// Changes a text at random: what is almost right goes further into a program than nonsense does.
import type { Random } from '../../seeds/random.ts'
import { oddText } from './odd-texts.ts'

const SIGNS = ['{', '}', '(', ')', '[', ']', '"', '\\', ',', ':', '$', '@', '!', '\n', '\u0000', '9', 'é', '\ud83c']

/** The text with one to eight changes: parts that are left out, said twice, exchanged, or odd. */
export function changedText(text: string, random: Random): string {
  let changed = text
  for (let left = random.int(1, 8); left > 0; left -= 1) {
    const at = random.int(0, changed.length)
    const to = Math.min(changed.length, at + random.int(0, 40))
    const [before, part, after] = [changed.slice(0, at), changed.slice(at, to), changed.slice(to)]
    changed = random.pick([
      () => before + after,
      () => before + part + part + after,
      () => before + random.pick(SIGNS) + after,
      () => before + oddText(random).slice(0, 1000) + part + after,
      () => after + part + before,
      () => before,
      () => before + part.toUpperCase() + after,
    ])()
  }
  return changed
}
