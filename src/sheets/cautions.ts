// Which cautions a sheet prints, by the situation that it describes; `src/words/caution-words.ts` makes sentences of them.
import type { Figure, FigureConstant } from './figure.ts'
import { LIFT_FILTER, needsLiftCaution } from './weights.ts'

const EXPOSURE = 'HSE EH40, workplace exposure limits (as quoted)'

/** Parts of CO₂ in a million parts of air at work. */
export const CO2_LIMITS = {
  eightHours: {
    ...{ name: 'CO₂ in the air over 8 h', value: 5000, unit: 'ppm' },
    source: `${EXPOSURE}; OSHA permissible exposure limit`,
  },
  fifteenMinutes: { name: 'CO₂ in the air over 15 min', value: 15000, unit: 'ppm', source: EXPOSURE },
} as const satisfies Record<string, FigureConstant>

/** In the order in which they are printed: what kills first. */
export const CAUTION_CODES = [
  'CO2_IN_THE_AIR',
  'UNFINISHED_BEER',
  'OVER_PRIMED',
  'RELIEF_VALVES',
  'VACUUM_WHEN_DRAWN_SHUT',
  'CAUSTIC_IN_CO2',
  'COLD_AFTER_HOT',
  'PURGE_OPEN_ONLY',
  'RETURNED_UNDER_PRESSURE',
  'EYES_AT_SHIVES',
  'EYES_AT_CAUSTIC',
  'ROLLING_CASKS',
  'LIFT_BY_TWO',
] as const

export type CautionCode = (typeof CAUTION_CODES)[number]

export interface Caution {
  code: CautionCode
  params: Readonly<Record<string, number | string>>
  /** Published figures in it, and where they come from. Empty: common practice. */
  constants: readonly FigureConstant[]
}

/** A full container that people handle. */
export interface HandledContainer {
  /** What the container is called, such as `firkin`. */
  name: string
  kind: 'CASK' | 'KEG'
  /** From `fullWeight`. */
  weight: Figure
}

/** What is done on a sheet. */
export interface SheetSituation {
  /** Beer is drawn from vessels. */
  draws: boolean
  /** Vessels or containers are cleaned, or a vessel is emptied and so will be. */
  cleans: boolean
  /** Casks are filled or opened. */
  closesCasks: boolean
  /** Containers that came back are opened. */
  opensReturned: boolean
  /** Containers are purged with CO₂. */
  purges: boolean
  /** Sugar is given, or beer has more CO₂ than its pack should. */
  primes: boolean
  /** Beer without proof that it has fermented is filled. */
  isUnfinished: boolean
  /** Full containers that are moved. */
  handled: readonly HandledContainer[]
}

/** The cautions of a situation, each once, in the order of the codes. CO₂ is in every cellar and store. */
export function cautionsOf(situation: SheetSituation): Caution[] {
  const { draws, cleans, handled } = situation
  const lift = heaviest(handled)
  const applies: Readonly<Record<CautionCode, boolean>> = {
    CO2_IN_THE_AIR: true,
    UNFINISHED_BEER: situation.isUnfinished,
    OVER_PRIMED: situation.primes,
    RELIEF_VALVES: draws,
    VACUUM_WHEN_DRAWN_SHUT: draws,
    CAUSTIC_IN_CO2: cleans,
    COLD_AFTER_HOT: cleans,
    PURGE_OPEN_ONLY: situation.purges,
    RETURNED_UNDER_PRESSURE: situation.opensReturned,
    EYES_AT_SHIVES: situation.closesCasks,
    EYES_AT_CAUSTIC: cleans,
    ROLLING_CASKS: handled.some(({ kind }) => kind === 'CASK'),
    LIFT_BY_TWO: lift !== undefined,
  }
  return CAUTION_CODES.filter((code) => applies[code]).map((code) => ({ code, ...detailsOf(code, lift) }))
}

function detailsOf(code: CautionCode, lift: HandledContainer | undefined): Pick<Caution, 'params' | 'constants'> {
  if (code === 'CO2_IN_THE_AIR') {
    const { eightHours, fifteenMinutes } = CO2_LIMITS
    const params = { eightHoursPpm: eightHours.value, fifteenMinutesPpm: fifteenMinutes.value }
    return { params, constants: [eightHours, fifteenMinutes] }
  }
  if (code !== 'LIFT_BY_TWO' || !lift) return { params: {}, constants: [] }
  const { name, weight } = lift
  const params = {
    filterKg: LIFT_FILTER.value,
    container: name,
    ...(weight.value === undefined ? {} : { kg: weight.value }),
  }
  return { params, constants: [LIFT_FILTER] }
}

/** The heaviest of those that need the caution; one of unknown weight where no weight is known. */
function heaviest(handled: readonly HandledContainer[]): HandledContainer | undefined {
  const kg = ({ weight }: HandledContainer) => weight.value ?? 0
  return handled.filter(({ weight }) => needsLiftCaution(weight)).sort((a, b) => kg(b) - kg(a))[0]
}
