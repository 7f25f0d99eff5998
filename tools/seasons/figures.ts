// The figures of a season: how many promises were kept, how much of the plan moved from day to day, and what a litre cost.
import { dayOf } from '../../src/database/calendar-day.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import { totalsOf } from '../../src/floor/ledger/identity.ts'
import { brewsOf } from '../../src/planner/documents/brews.ts'
import { DEFAULT_COSTS, dayNumber, type LocalDate, type Plan } from '../../src/planner/documents/index.ts'
import { decisionsOf } from '../../src/planner/facts/decisions.ts'
import { EFFECTIVE, factOf } from '../../src/records/fact-rows.ts'
import { entryOf } from '../../src/records/ledger.ts'
import type { Documents } from './checks.ts'

export interface SeasonFigures {
  /** Facts that people said, and that were assumed and count. */
  said: number
  assumed: number
  /** Promises whose line is closed; kept: all of it could be served by the promised day. */
  promisesClosed: number
  promisesKept: number
  /** Of the others: those that the account itself sent back for good. */
  promisesSentBack: number
  /** Plans that came into force after the first. */
  plansAdopted: number
  /** Brews, transfers and runs of later days that a day drops or decides otherwise. */
  movedPerDay: number
  litresDelivered: number
  /** Of what happened, by the planner's default prices, for each litre delivered. */
  costPerLitre: number
}

/** Counts from evening to evening what of the plan for later days is dropped or decided otherwise. */
export class PlanMovement {
  #before: Plan | undefined
  #moved = 0
  #evenings = 0

  /** Takes the plan of an evening. */
  evening({ plan, problem }: Pick<Documents, 'plan' | 'problem'>): void {
    if (this.#before) {
      const now = decisionsOf(plan)
      for (const [key, was] of decisionsOf(this.#before)) {
        const is = now.get(key)
        const isSame = is !== undefined && is.on === was.on && is.what === was.what
        // What was planned for today or before has been carried out, or is due.
        if (was.on > problem.today && !isSame) this.#moved += 1
      }
      this.#evenings += 1
    }
    this.#before = plan
  }

  get perDay(): number {
    return this.#evenings === 0 ? 0 : this.#moved / this.#evenings
  }
}

/** Reads the figures of a season from its records. */
export async function seasonFigures(
  client: PrismaClient,
  distributorId: string,
  movement: PlanMovement,
): Promise<SeasonFigures> {
  const where = { distributorId }
  const facts = (await client.fact.findMany({ where: { ...where, ...EFFECTIVE } })).map(factOf)
  const lines = await client.orderLine.findMany({ where, include: { pack: { include: { containerType: true } } } })
  const plans = await client.plan.count({ where: { ...where, status: { in: ['IN_FORCE', 'PAST'] } } })
  const sites = new Map((await client.site.findMany({ where })).map((site) => [site.id, site]))
  const totals = totalsOf((await client.ledgerEntry.findMany({ where })).map(entryOf), 'MILLILITRES')
  const lastServe = new Map<string, LocalDate>()
  const [setups, drops] = [new Set<string>(), new Set<string>()]
  let brews = 0
  for (const fact of facts) {
    if (fact.kind === 'BREWED') brews += brewsOf(fact.data.ml / 1000, sites.get(fact.siteId)?.brewLitres ?? undefined)
    if (fact.kind === 'FILLED')
      setups.add([fact.day, fact.data.fillerId, fact.data.batchId, fact.data.typeId].join('|'))
    if (fact.kind === 'DISPATCHED') {
      drops.add(`${fact.day}|${fact.data.accountId}`)
      lastServe.set(fact.data.orderLineId, later(lastServe.get(fact.data.orderLineId), fact.data.serveOn))
    }
  }
  let [late, litresDelivered, closed, kept, sentBack] = [0, 0, 0, 0, 0]
  for (const { id, promisedOn, serveOn, status, quantity, delivered, closedShort, pack } of lines) {
    const litres = delivered * pack.containerType.nominalLitres
    litresDelivered += litres
    const due = dayOf(promisedOn ?? serveOn)
    const days = Math.max(0, dayNumber(lastServe.get(id) ?? due) - dayNumber(due))
    late += litres * days * (promisedOn ? DEFAULT_COSTS.latePromised : DEFAULT_COSTS.late)
    if (status !== 'DELIVERED' || !promisedOn) continue
    closed += 1
    if (closedShort > 0) sentBack += 1
    else if (delivered === quantity && days === 0) kept += 1
  }
  const gone = (['DUMPED', 'SET_UP', 'SPOILED', 'REMAINDER', 'LOST'] as const).reduce(
    (sum, kind) => sum + (totals.get(kind) ?? 0) / 1000,
    0,
  )
  const cost =
    brews * DEFAULT_COSTS.brew +
    setups.size * DEFAULT_COSTS.setup +
    drops.size * DEFAULT_COSTS.drop +
    gone * DEFAULT_COSTS.dumped +
    late
  return {
    ...{ said: facts.filter(({ assumed }) => !assumed).length, assumed: facts.filter(({ assumed }) => assumed).length },
    ...{ promisesClosed: closed, promisesKept: kept, promisesSentBack: sentBack },
    plansAdopted: plans - 1,
    movedPerDay: movement.perDay,
    ...{ litresDelivered, costPerLitre: litresDelivered === 0 ? 0 : cost / litresDelivered },
  }
}

function later(a: LocalDate | undefined, b: LocalDate): LocalDate {
  return a !== undefined && a > b ? a : b
}
