// Cautions as the lines at the foot of a page.
import type { Caution } from '../sheets/cautions.ts'
import { cautionsInShort, cautionsInWords } from '../words/caution-words.ts'

/** One paragraph, for a page that is full; none where nothing on the sheet can hurt somebody. */
export function cautionsInBrief(cautions: readonly Caution[]): string[] {
  return cautions.length === 0 ? [] : [cautionsInShort(cautions)]
}

/** One line each; none where nothing on the sheet can hurt somebody. */
export function cautionLines(cautions: readonly Caution[]): string[] {
  return cautions.length === 0 ? [] : cautionsInWords(cautions)
}
