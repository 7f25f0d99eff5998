// The steps of a fill as a person does them, in short sentences.
import type { LocalDate } from '../planner/documents/index.ts'
import type { Figure } from '../sheets/figure.ts'
import type { FillStep, FillStepCode, PurgeReason } from '../sheets/fill-steps.ts'
import { missingInWords, valueInWords, warningInWords } from './figure-words.ts'

interface StepParts {
  params: FillStep['params']
  /** How much, or a blank. */
  amount: string
  /** What lacks of the amount, and what to beware of; '' where nothing. */
  remarks: string
  figure: FillStep['figure']
  day: (day: LocalDate) => string
}

const PURGE_REASONS: Readonly<Record<PurgeReason, string>> = {
  SET_UP: 'the set-up says so',
  CLOSED_KEG: 'a keg keeps the air that is in it',
  HOPS_LOSE_AROMA: 'oxygen takes the aroma of dry hops',
  YEAST_TAKES_UP_OXYGEN: 'the yeast of a primed cask takes up the oxygen',
  FOAM_DRIVES_AIR_OUT: 'the foam that overflows drives the air out',
}

const WORDS: Readonly<Record<FillStepCode, (it: StepParts) => string>> = {
  CHOCK: () => 'Chock every cask, its shive hole up.',
  INSPECT_CASK: () => 'Look into every cask with a lamp, and smell it: clean, sound, dry. Put aside what is not.',
  INSPECT_KEG: () => 'Look at every keg: valve sound, no dents or leaks, its rating to be read. Put aside what is not.',
  VENT_RETURNED: () => 'Vent what came back slowly before it is opened, with your face away.',
  SANITISE_CASK: ({ params, amount, remarks }) =>
    `Sanitise: ${amount} for each ${params.container}; roll it so that every wall is wet, then drain it.${remarks}`,
  SANITISE_KEG: () => 'Sanitise the kegs closed, through the valve, and drain them.',
  KEYSTONE: () => 'Drive in a new keystone.',
  FININGS: ({ params, amount, remarks }) => `Finings: ${amount} for each ${params.container}.${remarks}`,
  SUGAR: (it) => sugarInWords(it),
  HOPS: ({ params, amount, remarks }) => `Dry hops: ${amount} for each ${params.container}, in a bag.${remarks}`,
  PURGE_CASK: ({ params }) =>
    `Purge: ${purgeReasonOf(params)}. A few seconds of CO₂ through the open bung, hose open, ${regulator(params)}; it is not a complete purge.`,
  PURGE_KEG: ({ params }) =>
    `Purge: ${purgeReasonOf(params)}. CO₂ through the valve with the return open, ${regulator(params)}.`,
  NO_PURGE: ({ params }) => `Do not purge: ${purgeReasonOf(params)}.`,
  KEEP_TOP_PRESSURE: ({ amount, remarks, figure }) =>
    `Keep a slight top pressure of CO₂ on the vessel while it is drawn${figure ? `: about ${amount} of CO₂` : ''}.${remarks}`,
  MAY_BREATHE: () =>
    'The vessel is emptied today: it may breathe while yeast still covers the beer. Keep its vent open.',
  CLEAR_HOSE: () => 'Run the hose to the drain until the beer is clear.',
  FILL_CASK: () => 'Fill gently from the bottom; let it overflow until the foam stops.',
  FILL_KEG: () =>
    'Fill through the valve against a slight counter-pressure, below the rating of the keg, until beer shows at the return or the weight is right. Let no keg overflow.',
  SHIVE: () => 'Drive in a new shive at once.',
  CHECK_VALVE: () => 'Rinse the valve, look for leaks, and put on its cap.',
  ROLL: () => 'Roll every cask to mix it, and look for leaks.',
  STORE: ({ params, day }) => `${storedInWords(params)} until ${day(String(params.until))}.`,
}

/** A step in one or two sentences. `day` says how a day is written. */
export function stepInWords({ code, params, figure }: FillStep, day: (day: LocalDate) => string): string {
  const remarks = figure ? [missingInWords(figure), ...figure.warnings.map(warningInWords)].filter(Boolean) : []
  return WORDS[code]({
    ...{ params, figure, day },
    amount: figure ? valueInWords(figure) : '',
    remarks: remarks.map((remark) => ` ${remark}`).join(''),
  })
}

/** A blank is for an amount that a brewer may reckon by hand; where sugar could burst a cask there is none to fill in. */
function sugarInWords({ params, amount, remarks, figure }: StepParts): string {
  if (isSugarNone(figure)) return `Sugar: none.${remarks}`
  return `Sugar: ${amount} for each ${params.container}, dissolved and cooled, once.${remarks}`
}

/** Whether no sugar may be given, for want of proof or of need; false where something is not known yet. */
export function isSugarNone(figure: Figure | undefined): boolean {
  const isUnproven = figure?.warnings.some(({ code }) => code === 'FERMENTATION_NOT_PROVEN') === true
  const isRefused = figure?.value === undefined && figure?.missing.length === 0
  return isUnproven || isRefused || figure?.value === 0
}

/** Such as `Store cold, in the cold room`. */
export function storedInWords({ climate, name }: FillStep['params']): string {
  return `Store ${climate === 'WARM' ? 'warm' : 'cold'}${name === undefined ? '' : `, in ${name},`}`
}

/** Why containers are purged, or why not. */
export function purgeReasonOf({ why }: FillStep['params']): string {
  return isReason(why) ? PURGE_REASONS[why] : ''
}

function isReason(why: unknown): why is PurgeReason {
  return typeof why === 'string' && why in PURGE_REASONS
}

/** Never above the rating of the container. */
function regulator({ bar, ratingBar }: FillStep['params']): string {
  const rating = ratingBar === undefined ? 'that is marked on the container' : `of ${ratingBar} bar`
  return `regulator at ${bar} bar at most and below the rating ${rating}`
}
