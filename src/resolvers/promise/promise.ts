// When can this account have these? Answered from the snapshot of the plan in force; nothing is moved and nothing written.
import { z } from 'zod'
import { todayIn } from '../../clock.ts'
import { Conflict } from '../../errors.ts'
import type { TrialAnswer } from '../../planner/index.ts'
import { type LocalDate, localDate, type OrderLine } from '../../planner/problem.ts'
import { askedLine, MOST_LINES } from '../orders/shapes.ts'
import { OrderReferences } from '../orders/wanted-lines.ts'
import { parseInput } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { thingRef } from '../thing-ref.ts'
import { isWhole } from './earliest.ts'

const shape = z.strictObject({
  account: thingRef,
  serveOn: localDate.optional(),
  lines: z.array(askedLine).min(1).max(MOST_LINES),
})

export type TrialDelivery = TrialAnswer['deliveries'][number]
export type TrialTake = TrialDelivery['sources'][number]

export interface PromisedLine extends Omit<TrialAnswer, 'orderLineId'> {
  packId: string
  /** The day that was asked for. */
  wantedOn: LocalDate
}

export interface PromiseAnswer {
  revision: number
  allOnTime: boolean
  /** The first day by which all lines are served; null where one cannot wholly be served. */
  earliestServeOn: LocalDate | null
  /** In the order of the input. */
  lines: PromisedLine[]
}

/**
 * Places the lines together in the plan in force, each at its earliest, looks, and takes them out again. Without a serve
 * day they are wanted today, that is as early as can be. Throws `InvalidInput`, and `Conflict` where no plan is in force.
 */
export async function promise(actor: PlanningActor, input: unknown): Promise<PromiseAnswer> {
  const given = parseInput(shape, input)
  const { client, clock, distributorId, snapshots } = actor
  const { revision, timeZone } = await client.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  const snapshot = await snapshots.current(client, distributorId, revision, {
    today: todayIn(clock, timeZone),
    at: clock.now(),
  })
  const refs = new OrderReferences(client, distributorId, snapshot.problem)
  const accountId = await refs.account(given.account, 'account')
  const lines: OrderLine[] = []
  for (const [index, asked] of given.lines.entries()) {
    const wanted = await refs.line(asked, `lines[${index}]`, given.serveOn ?? snapshot.today)
    lines.push({ ...wanted, id: `asked-${index}`, orderId: 'asked', accountId })
  }
  refs.settle()
  if (!snapshot.inForce) throw new Conflict('NO_PLAN_IN_FORCE')
  const { trial } = snapshot.inForce.held()
  const answers = trial.promise(lines)
  const days = answers.flatMap((answer) => (isWhole(answer) && answer.serveOn ? [answer.serveOn] : [])).sort()
  return {
    revision: snapshot.revision,
    allOnTime: answers.every(({ onTime }) => onTime),
    earliestServeOn: days.length === answers.length ? (days.at(-1) ?? null) : null,
    lines: answers.map(({ orderLineId: _, ...answer }, index) => ({
      ...answer,
      packId: lines[index]?.packId ?? '',
      wantedOn: lines[index]?.serveOn ?? '',
    })),
  }
}
