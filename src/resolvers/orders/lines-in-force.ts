// What the rows of the plan in force say of order lines. All of it is asked for by the plan's id: asked for by its status,
// the database reads what every past plan says of a line before it leaves that out.
import DataLoader from 'dataloader'
import { dayOf } from '../../database/calendar-day.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import type { Actor } from '../actor.ts'
import { readReasons } from '../plans/reasons.ts'
import { type LineRisk, type MovedOn, readMovedOn } from './risks.ts'

/** How the plan in force serves a line, as far as it still holds. */
export interface LineStanding {
  /** The day on which the last of it is served; null where nothing is. */
  expectedOn(): Promise<LocalDate | null>
  /** Null where it is served as promised or wanted. */
  atRisk(): Promise<LineRisk | null>
}

/** The id of the plan in force; undefined where there is none. */
export async function planInForceId({ client, distributorId }: Actor): Promise<string | undefined> {
  const where = { distributorId, status: 'IN_FORCE' } as const
  return (await client.plan.findFirst({ where, select: { id: true } }))?.id
}

/** Lines of the plan in force for one request: whatever is asked for at once is read in one statement a table. */
export class LinesInForce {
  readonly #actor: Actor
  readonly #lastServed
  readonly #verdicts
  #plan: Promise<string | undefined> | undefined
  #moved: Promise<ReadonlyMap<string, MovedOn>> | undefined

  constructor(actor: Actor) {
    this.#actor = actor
    this.#lastServed = new DataLoader((ids: readonly string[]) => this.#readLastServed(ids))
    this.#verdicts = new DataLoader((ids: readonly string[]) => this.#readVerdicts(ids))
  }

  /** How a line is served. */
  standing(lineId: string): LineStanding {
    return {
      expectedOn: async () => {
        const moved = (await this.#movedOn()).get(lineId)
        return moved ? moved.expectedOn : this.#lastServed.load(lineId)
      },
      atRisk: async () => {
        const moved = (await this.#movedOn()).get(lineId)
        return moved ? (moved.atRisk ?? null) : this.#verdicts.load(lineId)
      },
    }
  }

  #planId(): Promise<string | undefined> {
    this.#plan ??= planInForceId(this.#actor)
    return this.#plan
  }

  #movedOn(): Promise<ReadonlyMap<string, MovedOn>> {
    this.#moved ??= this.#planId().then((planId) => readMovedOn(this.#actor, planId))
    return this.#moved
  }

  async #readLastServed(ids: readonly string[]): Promise<(LocalDate | null)[]> {
    const { client, distributorId } = this.#actor
    const planId = await this.#planId()
    if (planId === undefined) return ids.map(() => null)
    const rows = await client.delivery.groupBy({
      by: 'orderLineId',
      where: { distributorId, planId, orderLineId: { in: [...ids] } },
      _max: { serveOn: true },
    })
    const last = new Map(rows.map(({ orderLineId, _max }) => [orderLineId, _max.serveOn]))
    return ids.map((id) => {
      const day = last.get(id)
      return day ? dayOf(day) : null
    })
  }

  async #readVerdicts(ids: readonly string[]): Promise<(LineRisk | null)[]> {
    const { client, distributorId } = this.#actor
    const planId = await this.#planId()
    if (planId === undefined) return ids.map(() => null)
    const rows = await client.planVerdict.findMany({
      where: { distributorId, planId, orderLineId: { in: [...ids] } },
      select: { orderLineId: true, kind: true, quantity: true, reasons: true },
    })
    const worst = new Map<string, (typeof rows)[number]>()
    for (const row of rows) if (row.kind === 'UNSERVED' || !worst.has(row.orderLineId)) worst.set(row.orderLineId, row)
    return ids.map((id) => {
      const row = worst.get(id)
      return row ? { containers: row.quantity, reasons: readReasons(row.reasons) } : null
    })
  }
}
