// The one clock through which time enters. Tests set it; nothing else may ask the machine for the time of day.

import type { LocalDate } from './planner/documents/index.ts'
import { localDateOf, wallClock } from './planner/documents/index.ts'

export interface Clock {
  /** This instant. */
  now(): Date
}

/** The machine's clock. */
export const systemClock: Clock = { now: () => new Date() }

/** A clock that stands still until it is set. */
export class SetClock implements Clock {
  #now: Date

  constructor(instant: string | Date) {
    this.#now = new Date(instant)
  }

  now(): Date {
    return new Date(this.#now)
  }

  set(instant: string | Date): void {
    this.#now = new Date(instant)
  }
}

/** The calendar date that a clock on the wall of `timeZone` shows now. */
export function todayIn(clock: Clock, timeZone: string): LocalDate {
  return localDateOf(wallClock(clock.now().toISOString(), timeZone).day)
}

/** The instant so many times 24 hours before now. */
export function daysAgo(clock: Clock, days: number): Date {
  return new Date(clock.now().getTime() - days * 24 * 3_600_000)
}
