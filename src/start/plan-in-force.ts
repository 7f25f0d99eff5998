// The plan in force with its problem and the names of things: what the picture is drawn from.
import { type Clock, todayIn } from '../clock.ts'
import type { PrismaClient } from '../database/client.ts'
import type { LocalDate, Plan, Problem } from '../planner/documents/index.ts'
import { loadProblem } from '../records/load-problem.ts'
import type { NamedKind } from '../words/mentions.ts'
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
      const names: Partial<Record<NamedKind, Map<string, string>>> = {
        vessel: mapOf(await tx.vessel.findMany(query)),
        beer: mapOf(await tx.beer.findMany(query)),
        pack: mapOf(await tx.pack.findMany(query)),
        account: mapOf(await tx.account.findMany(query)),
        filler: mapOf(await tx.filler.findMany(query)),
        site: mapOf(await tx.site.findMany(query)),
        containerType: mapOf(await tx.containerType.findMany(query)),
        route: mapOf(await tx.route.findMany(query)),
        batch: new Map(batches.map(({ id, code, beer }) => [id, `${beer.name} ${code}`])),
      }
      return { problem, plan: problem.baseline, today, nameOf: (kind, id) => names[kind]?.get(id) ?? id }
    },
    { isolationLevel: 'RepeatableRead' },
  )
}
