// How much each key may ask for in a minute, counted by each process for itself: requests, and what their queries cost.
import { Busy } from '../../errors.ts'

/** What a key may use in a window. */
export interface KeyQuotas {
  /** Requests of any kind. */
  requests: number
  /** What its queries and mutations cost together, in values as `src/schema/costs.ts` counts them. */
  cost: number
}

/** What holds where nothing else is set: far more than a shop with some clerks asks for. */
export const KEY_QUOTAS: KeyQuotas = { requests: 6_000, cost: 20_000_000 }

/** Seconds of a window, which begins with the first request after the one before. */
export const WINDOW_SECONDS = 60

/** Most keys that are counted at a time; beyond them those whose windows began first are forgotten. */
const MOST_KEYS = 10_000

interface Window {
  /** Milliseconds of the monotonic clock. */
  endsAt: number
  used: KeyQuotas
}

/** What is left to a key in its window. */
export interface QuotaLeft extends KeyQuotas {
  /** Whole seconds until it has all of its quotas again; at least 1. */
  seconds: number
}

/** The account of one key in one window, which one request charges. */
export interface QuotaAccount {
  /** Takes what a query costs. Throws `Busy`, and takes nothing, where that is more than is left. */
  charge(cost: number): void
  left(): QuotaLeft
}

export class KeyCounts {
  readonly quotas: KeyQuotas
  readonly #now: () => number
  /** By key, those whose windows began first at the front. */
  readonly #windows = new Map<string, Window>()
  readonly #accounts = new WeakMap<Request, QuotaAccount>()

  /** `now`: milliseconds of a clock that is never set back. */
  constructor(quotas: KeyQuotas = KEY_QUOTAS, now: () => number = () => performance.now()) {
    this.quotas = quotas
    this.#now = now
  }

  /** Counts a request of a key. Throws `Busy` where the key has had as many as it may; such a one is not counted. */
  count(request: Request, { distributorId, keyId }: { distributorId: string; keyId: string }): QuotaAccount {
    const window = this.#windowOf(JSON.stringify([distributorId, keyId]))
    const account = this.#accountOf(window)
    this.#accounts.set(request, account)
    if (window.used.requests >= this.quotas.requests) throw new Busy(account.left().seconds, 'KEY_REQUESTS_SPENT')
    window.used.requests += 1
    return account
  }

  /** The account of a request; undefined for one without a good key. */
  of(request: Request): QuotaAccount | undefined {
    return this.#accounts.get(request)
  }

  #windowOf(key: string): Window {
    const now = this.#now()
    const known = this.#windows.get(key)
    if (known && known.endsAt > now) return known
    const window = { endsAt: now + WINDOW_SECONDS * 1000, used: { requests: 0, cost: 0 } }
    // Set anew it stands at the end: windows are all of one length, so that those that end first stay at the front.
    this.#windows.delete(key)
    this.#windows.set(key, window)
    for (const [other, { endsAt }] of this.#windows) {
      if (endsAt > now && this.#windows.size <= MOST_KEYS) break
      this.#windows.delete(other)
    }
    return window
  }

  #accountOf(window: Window): QuotaAccount {
    const left = () => ({
      requests: this.quotas.requests - window.used.requests,
      cost: this.quotas.cost - window.used.cost,
      seconds: Math.max(1, Math.ceil((window.endsAt - this.#now()) / 1000)),
    })
    return {
      left,
      charge: (cost) => {
        const { cost: most, seconds } = left()
        if (cost > most) throw new Busy(seconds, 'KEY_COST_SPENT')
        window.used.cost += cost
      },
    }
  }
}
