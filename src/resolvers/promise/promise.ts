// When can this account have these? Answered from the snapshot of the plan in force; nothing is moved and nothing written.
import { z } from 'zod'
import { lineWithDefaults, localDate, type OrderLine } from '../../planner/documents/index.ts'
import type { NameOfMention } from '../../words/mentions.ts'
import type { OrderAnswer } from '../orders/order-answer.ts'
import { askedLine, MOST_LINES } from '../orders/shapes.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import { thingRef } from '../thing-ref.ts'
import type { Alternative } from './alternative.ts'
import { alternativesTo } from './alternatives.ts'
import { type NewPlan, newPlanFor } from './new-plan.ts'
import { type Offered, offerOf } from './offer.ts'
import { openPromiseSession } from './promise-session.ts'
import { summaryOfPromise } from './summary.ts'

const shape = z.strictObject({
  account: thingRef,
  serveOn: localDate.optional(),
  lines: z.array(askedLine).min(1).max(MOST_LINES),
})

export interface PromiseAnswer extends Offered {
  revision: number
  /** What else could be had where a line is late or not wholly served; looked for when it is first asked for. */
  alternatives: () => Promise<Alternative[]>
  /** Whether a new plan could keep it; begins a search where `mayBegin` says so. Null: nothing is late, or no day was wished. */
  newPlan: (mayBegin: boolean) => Promise<NewPlan | null>
  /** The lines without a promise that would give way to it. */
  gaveWay: () => OrderAnswer['gaveWay']
  /** All of it in one line that can be read out. */
  summary: (nameOf: NameOfMention) => Promise<string>
}

/**
 * Places the lines together in the plan in force, each at its earliest, looks, and takes them out again. Without a serve
 * day they are wanted today, that is as early as can be. Throws `InvalidInput`, and `Conflict` where no plan is in force.
 */
export async function promise(actor: PlanningActor, input: unknown): Promise<PromiseAnswer> {
  const reading = readInput(shape, input)
  const { given } = reading
  const session = await openPromiseSession(actor)
  const { refs, today } = session
  refs.take(reading)
  const accountId = await refs.account(given.account, 'account')
  const lines: OrderLine[] = []
  for (const [index, asked] of given.lines.entries()) {
    const wanted = await refs.line(asked, `lines[${index}]`, given.serveOn ?? today)
    lines.push(lineWithDefaults({ ...wanted, id: `asked-${index}`, orderId: 'asked', accountId }))
  }
  refs.settle()
  const undated = given.serveOn === undefined && given.lines.every((line) => !line.serveOn)
  const offered = offerOf(session, lines, { undated })
  // An undated question that gets a day leaves nothing to choose from.
  const settled = undated && offered.offerToken
  const answered = { session, lines, offered, undated }
  let found: Promise<Alternative[]> | undefined
  const alternatives = () => {
    found ??= settled ? Promise.resolve([]) : alternativesTo(actor, session, lines, offered)
    return found
  }
  return {
    ...offered,
    revision: session.snapshot.revision,
    alternatives,
    newPlan: (mayBegin) => newPlanFor(actor, answered, mayBegin),
    gaveWay: () => session.trial().gaveWay(lines),
    summary: (nameOf) => summaryOfPromise(answered, alternatives, nameOf),
  }
}
