// The simple model of what sales has done: who has what until when. It knows nothing of beer; whether something can be had
// is what `promise` says just before.

import type { LocalDate } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'

/** An order, or a reservation that may become one, with its one line. */
export interface Holding {
  /** Its number: the references of order, reservation and line come of it. */
  n: number
  /** RESERVED and OPEN hold beer. */
  status: 'RESERVED' | 'OPEN' | 'LAPSED' | 'CANCELLED' | 'DELIVERED'
  /** Whether it was reserved once, and how that ended. */
  reservation?: 'ACTIVE' | 'CONFIRMED' | 'RELEASED' | 'EXPIRED'
  expiresAt: number
  quantity: number
  serveOn: LocalDate
  /** null: a wish. */
  promisedOn: LocalDate | null
  /** Containers that have left or are not wanted any more, as facts say. */
  gone: number
}

/** An offer that was answered. */
export interface Offer {
  token: string
  quantity: number
  wantedOn: LocalDate
  /** The offered day. */
  serveOn: LocalDate
  /** Milliseconds since 1970. */
  madeAt: number
}

export class Model {
  today: LocalDate
  /** Milliseconds since 1970. */
  now: number
  readonly holdings: Holding[] = []
  readonly offers: Offer[] = []
  /** Those of new plans. */
  readonly newPlanOffers: Offer[] = []
  /** Tokens of offers that became an order or a reservation, whatever became of that: each is taken up once. */
  readonly usedOffers = new Set<string>()
  /** A draft that was made and is not adopted yet. */
  draft: string | undefined
  /** Whether a fact came in, the set-up changed or a day went by: promises may break, but the plan must list them. */
  disturbed = false
  /** Days that plans reach, of which today is the first. */
  horizonDays: number
  /** Commands that were done. */
  steps = 0

  constructor(today: LocalDate, now: number, horizonDays: number) {
    this.today = today
    this.now = now
    this.horizonDays = horizonDays
  }

  /** Reservations whose time is over lose what they had, with no job running. On another day what was planned has happened. */
  pass(minutes: number): void {
    this.now += 60_000 * minutes
    const today = new Date(this.now).toISOString().slice(0, 10)
    if (today !== this.today) this.disturbed = true
    this.today = today
    for (const holding of this.holdings)
      if (holding.status === 'RESERVED' && holding.expiresAt <= this.now) {
        holding.status = 'LAPSED'
        holding.reservation = 'EXPIRED'
      }
  }

  /** The holding that a number picks, of those that a command is about; undefined where there is none. */
  pick(number: number, isIt: (holding: Holding) => boolean = () => true): Holding | undefined {
    const fit = this.holdings.filter(isIt)
    return fit[number % Math.max(1, fit.length)]
  }

  add(holding: Omit<Holding, 'n' | 'gone'>): Holding {
    const whole = { n: this.holdings.length + 1, gone: 0, ...holding }
    this.holdings.push(whole)
    return whole
  }

  /** The number of the next holding. */
  get next(): number {
    return this.holdings.length + 1
  }

  /** So many days ahead, as far as plans reach. */
  day(ahead: number): LocalDate {
    return addDays(this.today, Math.min(ahead, this.horizonDays - 1))
  }

  /** Whether plans reach a day. */
  reaches(day: LocalDate): boolean {
    return day <= addDays(this.today, this.horizonDays - 1)
  }
}

export const holds = ({ status }: Holding): boolean => status === 'OPEN' || status === 'RESERVED'
export const orderRef = ({ n }: { n: number }) => ({ externalRef: `order-${n}` })
export const reservationRef = ({ n }: { n: number }) => ({ externalRef: `reservation-${n}` })
export const lineRef = ({ n }: { n: number }) => ({ externalRef: `line-${n}` })
