// The steps of a fill where room is short: on one page for all runs, beside a table that says how much and until when for each.
import type { FillStep, FillStepCode } from '../sheets/fill-steps.ts'
import { isSugarNone, purgeReasonOf, storedInWords } from './fill-step-words.ts'

const WORDS: Readonly<Record<FillStepCode, (step: FillStep) => string>> = {
  CHOCK: () => 'Chock them, the shive hole up.',
  INSPECT_CASK: () => 'Look in with a lamp, and smell: clean, sound, dry.',
  INSPECT_KEG: () => 'Look: valve sound, no dents, rating to be read.',
  VENT_RETURNED: () => 'Vent what came back slowly, face away.',
  SANITISE_CASK: () => 'Sanitise as listed: roll until all is wet, then drain.',
  SANITISE_KEG: () => 'Sanitise closed, through the valve; drain.',
  KEYSTONE: () => 'Drive in a new keystone.',
  FININGS: () => 'Finings as listed.',
  SUGAR: ({ figure }) => (isSugarNone(figure) ? 'Sugar: none.' : 'Sugar as listed, dissolved and cooled, once.'),
  HOPS: () => 'Dry hops as listed, in a bag.',
  PURGE_CASK: ({ params }) =>
    `Purge: ${purgeReasonOf(params)}. CO₂ for seconds, bung and hose open, ${regulator(params)}; not a complete purge.`,
  PURGE_KEG: ({ params }) => `Purge: ${purgeReasonOf(params)}. CO₂ with the return open, ${regulator(params)}.`,
  NO_PURGE: ({ params }) => `No purge: ${purgeReasonOf(params)}.`,
  KEEP_TOP_PRESSURE: () => 'Keep a slight top pressure of CO₂ on the vessel.',
  MAY_BREATHE: () => 'Emptied today: it may breathe while yeast covers the beer; vent open.',
  CLEAR_HOSE: () => 'Run the hose to the drain until the beer is clear.',
  FILL_CASK: () => 'Fill gently from the bottom; overflow until the foam stops.',
  FILL_KEG: () =>
    'Fill against a slight counter-pressure, below the rating, until beer shows at the return or the weight is right; no overflow.',
  SHIVE: () => 'Drive in a new shive at once.',
  CHECK_VALVE: () => 'Rinse the valve, look for leaks, cap it.',
  ROLL: () => 'Roll to mix, and look for leaks.',
  STORE: ({ params }) => `${storedInWords(params)} until it leaves.`,
}

/** A step in as few words as a hand needs; the same words for all runs whose step is the same. */
export function stepAsListed(step: FillStep): string {
  return WORDS[step.code](step)
}

/** Never above the rating of the container. */
function regulator({ bar, ratingBar }: FillStep['params']): string {
  return `at most ${bar} bar and below the rating${ratingBar === undefined ? '' : ` of ${ratingBar} bar`}`
}
