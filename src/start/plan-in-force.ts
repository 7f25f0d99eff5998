// The plan in force with its problem and the names of things: what the picture is drawn from.
import { type Clock, todayIn } from '../clock.ts'
import type { PrismaClient } from '../database/client.ts'
import type { LocalDate, Plan, Problem, Reason } from '../planner/documents/index.ts'
import { loadProblem } from '../records/load-problem.ts'
import { inNames } from '../resolvers/plans/in-names.ts'
import { NamesOf } from '../resolvers/plans/names.ts'
import type { NameOf } from './picture.ts'

export interface PlanInForce {
  problem: Problem
  plan: Plan
  nameOf: NameOf
  today: LocalDate
}

/** Reads it; undefined where no plan is in force. */
export async function readPlanInForce(
  { client, clock }: { client: PrismaClient; clock: Clock },
  distributorId: string,
): Promise<PlanInForce | undefined> {
  const { timeZone } = await client.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  const today = todayIn(clock, timeZone)
  return client.$transaction(
    async (tx) => {
      const { problem } = await loadProblem(tx, distributorId, { today, at: clock.now() })
      if (!problem.baseline) return undefined
      const query = { where: { distributorId }, select: { id: true, name: true } } as const
      const mapOf = (rows: { id: string; name: string }[]) => new Map(rows.map(({ id, name }) => [id, name]))
      const batches = await tx.batch.findMany({
        where: { distributorId },
        select: { id: true, code: true, beer: { select: { name: true } } },
      })
      const names = {
        vessel: mapOf(await tx.vessel.findMany(query)),
        beer: mapOf(await tx.beer.findMany(query)),
        pack: mapOf(await tx.pack.findMany(query)),
        account: mapOf(await tx.account.findMany(query)),
        filler: mapOf(await tx.filler.findMany(query)),
        batch: new Map(batches.map(({ id, code, beer }) => [id, `${beer.name} ${code}`])),
      }
      const plan = await inPeoplesWords(problem.baseline, new NamesOf(tx, distributorId))
      return { problem, plan, today, nameOf: (kind, id) => names[kind].get(id) ?? id }
    },
    { isolationLevel: 'RepeatableRead' },
  )
}

/** The plan, with the reasons for what is late or not served told by names. */
async function inPeoplesWords(plan: Plan, names: NamesOf): Promise<Plan> {
  const spoken = async <T extends { reasons: Reason[] }>(list: readonly T[]): Promise<T[]> => {
    const told: T[] = []
    for (const each of list) {
      const reasons: Reason[] = []
      for (const reason of each.reasons)
        reasons.push({ ...reason, message: await inNames(reason, ({ kind, id }) => names.find(kind, id)) })
      told.push({ ...each, reasons })
    }
    return told
  }
  return { ...plan, late: await spoken(plan.late ?? []), unserved: await spoken(plan.unserved) }
}
