// Cautions as the lines at the foot of a page.
import type { Caution } from '../sheets/cautions.ts'
import { cautionsInShort } from '../words/caution-words.ts'

/** One paragraph; none where nothing on the sheet can hurt somebody. */
export function cautionsInBrief(cautions: readonly Caution[]): string[] {
  return cautions.length === 0 ? [] : [cautionsInShort(cautions)]
}
