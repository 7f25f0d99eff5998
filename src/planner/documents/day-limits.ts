// How much of a limit a day has: the limit of every day, unless the day has one of its own.
import type { LocalDate } from '../calendar/days.ts'
import type { Filler, Route, Site } from './problem.ts'

/** Brews that a site makes at most on a day (V1). */
export function mostBrews({ brewsOn, brewsPerDay }: Pick<Site, 'brewsOn' | 'brewsPerDay'>, day: LocalDate): number {
  return brewsOn[day] ?? brewsPerDay
}

/** Transfers that a site starts at most on a day (V11); infinity where there is no limit. */
export function mostTransfers(
  { transfersOn, transfersPerDay }: Pick<Site, 'transfersOn' | 'transfersPerDay'>,
  day: LocalDate,
): number {
  return transfersOn[day] ?? transfersPerDay ?? Number.POSITIVE_INFINITY
}

/** Minutes that a filler works at most on a fill day (L1). */
export function mostMinutes(
  { minutesOn, minutesPerDay }: Pick<Filler, 'minutesOn' | 'minutesPerDay'>,
  day: LocalDate,
): number {
  return minutesOn[day] ?? minutesPerDay
}

/** Nominal litres that a route dispatches at most on a day (D1); infinity where there is no limit. */
export function mostLitres(
  { capacityLitresOn, capacityLitres }: Pick<Route, 'capacityLitresOn' | 'capacityLitres'>,
  day: LocalDate,
): number {
  return capacityLitresOn[day] ?? capacityLitres ?? Number.POSITIVE_INFINITY
}
