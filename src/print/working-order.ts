// The working order of a fill day, once for all runs: a step that is not of all of them says which it is of.
import type { FillSheetRun } from '../sheets/fill-sheet.ts'
import { FILL_STEP_CODES } from '../sheets/fill-steps.ts'
import { stepAsListed } from '../words/listed-step-words.ts'
import { runsInWords } from './amounts.ts'
import type { Section } from './page.ts'

/** One list; none where nothing is filled. */
export function workingOrder(runs: readonly FillSheetRun[]): Section[] {
  if (runs.length === 0) return []
  return [{ heading: 'Working order; doses are for one container', steps: stepsOf(runs), inColumns: true }]
}

/** By the order of the work; where it differs, in the order of the runs. */
function stepsOf(runs: readonly FillSheetRun[]): string[] {
  const texts = new Map<string, { place: number; numbers: number[] }>()
  for (const [index, run] of runs.entries())
    for (const step of run.steps) {
      const text = stepAsListed(step)
      const known = texts.get(text) ?? { place: FILL_STEP_CODES.indexOf(step.code), numbers: [] }
      texts.set(text, { ...known, numbers: [...known.numbers, index + 1] })
    }
  return [...texts]
    .sort(([, a], [, b]) => a.place - b.place)
    .map(([text, { numbers }]) => {
      const which = whichOf(numbers, runs)
      return which === '' ? text : `${which}: ${text.charAt(0).toLowerCase()}${text.slice(1)}`
    })
}

/** Which runs a step is of: '' where it is of all, and one kind of container is named by its kind. */
function whichOf(numbers: readonly number[], runs: readonly FillSheetRun[]): string {
  if (numbers.length === runs.length) return ''
  const kinds = new Set(numbers.map((number) => runs[number - 1]?.container.kind))
  const [kind] = kinds
  const isWholeKind =
    kinds.size === 1 && runs.filter(({ container }) => container.kind === kind).length === numbers.length
  if (!isWholeKind) return runsInWords(numbers)
  return kind === 'CASK' ? 'Casks' : 'Kegs'
}
