// The working order of a fill, for casks and for kegs, as codes with parameters; `src/words/fill-step-words.ts` makes sentences of
// them. The order and what each step does are common practice, where nothing else stands beside them.
import type { LocalDate } from '../planner/documents/index.ts'
import type { Figure, FigureConstant } from './figure.ts'

/** Casks take all of them; kegs have no closures, lie nowhere, and do not overflow. */
export const FILL_STEP_CODES = [
  'CHOCK',
  'INSPECT_CASK',
  'INSPECT_KEG',
  'VENT_RETURNED',
  'SANITISE_CASK',
  'SANITISE_KEG',
  'KEYSTONE',
  'FININGS',
  'SUGAR',
  'HOPS',
  'PURGE_CASK',
  'PURGE_KEG',
  'NO_PURGE',
  'KEEP_TOP_PRESSURE',
  'MAY_BREATHE',
  'CLEAR_HOSE',
  'FILL_CASK',
  'FILL_KEG',
  'SHIVE',
  'CHECK_VALVE',
  'ROLL',
  'STORE',
] as const

export type FillStepCode = (typeof FILL_STEP_CODES)[number]

export interface FillStep {
  code: FillStepCode
  params: Readonly<Record<string, number | string>>
  /** How much; where it has no value the line stays empty. */
  figure?: Figure
}

/** Set on the regulator at an open hose, for a few seconds; it is not a complete purge. */
export const PURGE_PRESSURE: FigureConstant = {
  ...{ name: 'purge pressure', value: 2.07, unit: 'bar' },
  source: 'common practice: about 30 psi on the regulator',
}

/** Why containers are purged, or why not. */
export type PurgeReason = 'SET_UP' | 'CLOSED_KEG' | 'HOPS_LOSE_AROMA' | 'YEAST_TAKES_UP_OXYGEN' | 'FOAM_DRIVES_AIR_OUT'

export interface PurgeChoice {
  purges: boolean
  why: PurgeReason
}

/**
 * Whether the containers of a run are purged: what the set-up says; else kegs, which keep the air that is in them, and dry-hopped
 * beer. Yeast that ferments priming sugar takes up the oxygen; of other casks the foam that overflows drives the air out.
 */
export function purgeChoice(run: {
  kind: 'CASK' | 'KEG'
  isDryHopped: boolean
  isPrimed: boolean
  setUp?: boolean | undefined
}): PurgeChoice {
  if (run.setUp !== undefined) return { purges: run.setUp, why: 'SET_UP' }
  if (run.kind === 'KEG') return { purges: true, why: 'CLOSED_KEG' }
  if (run.isDryHopped) return { purges: true, why: 'HOPS_LOSE_AROMA' }
  return { purges: false, why: run.isPrimed ? 'YEAST_TAKES_UP_OXYGEN' : 'FOAM_DRIVES_AIR_OUT' }
}

/** A fill run, as its steps need it. */
export interface FillRunWork {
  container: {
    /** What it is called, such as `firkin`. */
    name: string
    kind: 'CASK' | 'KEG'
    /** Bar that it is rated for. Absent: not set up. */
    ratingBar?: number | undefined
  }
  /** For one container. Absent: the pack gets none of it. */
  doses: { sanitiser: Figure; finings?: Figure | undefined; sugar?: Figure | undefined; hops?: Figure | undefined }
  purge: PurgeChoice
  vessel: {
    kind: 'FERMENTER' | 'BRIGHT'
    /** Whether the run, or one after it on the same day, draws the last of it. */
    isEmptied: boolean
    /** From `co2ForDraw`. */
    co2?: Figure | undefined
  }
  /** Where it stands, the name absent where none is set up, and the first day on which it may leave. */
  store: { climate: 'COLD' | 'WARM'; name?: string | undefined; until: LocalDate }
}

/** The steps of a run in working order. */
export function fillSteps(run: FillRunWork): FillStep[] {
  return run.container.kind === 'CASK' ? caskSteps(run) : kegSteps(run)
}

function caskSteps(run: FillRunWork): FillStep[] {
  const container = run.container.name
  return [
    step('CHOCK'),
    step('INSPECT_CASK'),
    step('VENT_RETURNED'),
    step('SANITISE_CASK', { container }, run.doses.sanitiser),
    step('KEYSTONE'),
    ...doseSteps(run),
    run.purge.purges ? step('PURGE_CASK', purgeParams(run)) : step('NO_PURGE', { why: run.purge.why }),
    vesselStep(run),
    step('CLEAR_HOSE'),
    step('FILL_CASK'),
    step('SHIVE'),
    step('ROLL'),
    storeStep(run),
  ]
}

function kegSteps(run: FillRunWork): FillStep[] {
  return [
    step('INSPECT_KEG'),
    step('VENT_RETURNED'),
    step('SANITISE_KEG'),
    ...doseSteps(run),
    run.purge.purges ? step('PURGE_KEG', purgeParams(run)) : step('NO_PURGE', { why: run.purge.why }),
    vesselStep(run),
    step('CLEAR_HOSE'),
    step('FILL_KEG'),
    step('CHECK_VALVE'),
    storeStep(run),
  ]
}

function doseSteps({ container: { name: container }, doses: { finings, sugar, hops } }: FillRunWork): FillStep[] {
  return [
    ...(finings ? [step('FININGS', { container }, finings)] : []),
    ...(sugar ? [step('SUGAR', { container }, sugar)] : []),
    ...(hops ? [step('HOPS', { container }, hops)] : []),
  ]
}

/**
 * A vessel that is drawn in part keeps a slight top pressure, so that it neither loses CO₂ nor draws a vacuum; a fermenter that is
 * emptied on the day may breathe while its yeast still covers the beer (common practice). A bright vessel has no such yeast.
 */
function vesselStep({ vessel: { kind, isEmptied, co2 } }: FillRunWork): FillStep {
  return isEmptied && kind === 'FERMENTER' ? step('MAY_BREATHE') : step('KEEP_TOP_PRESSURE', {}, co2)
}

function storeStep({ store: { climate, name, until } }: FillRunWork): FillStep {
  return step('STORE', { climate, until, ...(name === undefined ? {} : { name }) })
}

function purgeParams({ purge: { why }, container: { ratingBar } }: FillRunWork): FillStep['params'] {
  return { why, bar: PURGE_PRESSURE.value, ...(ratingBar === undefined ? {} : { ratingBar }) }
}

function step(code: FillStepCode, params: FillStep['params'] = {}, figure?: Figure): FillStep {
  return { code, params, ...(figure ? { figure } : {}) }
}
