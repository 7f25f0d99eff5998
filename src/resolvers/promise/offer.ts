// What is answered about lines that are placed together: how each is served, and the token with which just that can be had.

import type { LocalDate, OrderLine, Reason } from '../../planner/documents/index.ts'
import type { TrialAnswer } from '../../planner/index.ts'
import { mintOffer } from './offer-token.ts'
import { lastDayOf, type PromiseSession } from './promise-session.ts'
import { isWhole } from './whole.ts'

export type TrialDelivery = TrialAnswer['deliveries'][number]
export type TrialSource = TrialDelivery['sources'][number]

export interface PromisedLine extends Omit<TrialAnswer, 'orderLineId' | 'limits'> {
  packId: string
  /** The day that was asked for. */
  wantedOn: LocalDate
  /**
   * What binds it where it is not on time; found when it is first asked for. Where no day was named, the first one answers
   * the question: nothing binds a line that is wholly served then, and one that is not is bound by what keeps it from its
   * last day, not from today.
   */
  limits: () => Reason[]
}

/** How lines would be served together. */
export interface Offered {
  /** In the order in which they were asked for. */
  lines: PromisedLine[]
  allOnTime: boolean
  /** The first day by which all lines are served; null where one cannot wholly be served. */
  earliestServeOn: LocalDate | null
  /** For taking just this; null where a line cannot wholly be served. */
  offerToken: string | null
}

/** How a question is to be answered. */
export interface OfferManner {
  /** What the offer says of each line, where that differs from how it was placed: how long it is wanted. */
  wanted?: readonly OrderLine[]
  /** Whether no day was named: the lines are wanted as early as can be. */
  undated?: boolean
}

/** Places lines of one account together in the plan in force, looks, and takes them out again. */
export function offerOf(
  session: PromiseSession,
  lines: readonly OrderLine[],
  { wanted = lines, undated = false }: OfferManner = {},
): Offered {
  const answers = session.trial().promise([...lines], { unexplained: true })
  let explained: Reason[][] | undefined
  const limitsOf = (index: number): Reason[] => {
    const asked = undated ? lines.map((line, at) => onLastDay(session, line, answers[at])) : [...lines]
    explained ??= session
      .trial()
      .promise(asked)
      .map(({ limits }) => limits)
    return explained[index] ?? []
  }
  const promised = answers.map(({ orderLineId: _, limits: __, ...answer }, index) => ({
    ...answer,
    packId: lines[index]?.packId ?? '',
    wantedOn: lines[index]?.serveOn ?? '',
    limits: () => (answer.onTime || (undated && isWhole(answer)) ? [] : limitsOf(index)),
  }))
  const days = answers.flatMap((answer) => (isWhole(answer) && answer.serveOn ? [answer.serveOn] : [])).sort()
  const all = days.length === answers.length
  return {
    lines: promised,
    allOnTime: answers.every(({ onTime }) => onTime),
    earliestServeOn: all ? (days.at(-1) ?? null) : null,
    offerToken: all ? tokenOf(session, wanted, answers) : null,
  }
}

/** A line that is wanted as early as can be, as if wanted on the day that it gets, or where it gets none on its last. */
function onLastDay(session: PromiseSession, line: OrderLine, answer: TrialAnswer | undefined): OrderLine {
  const gets = answer && isWhole(answer) ? answer.serveOn : null
  return { ...line, serveOn: gets ?? line.latestServeOn ?? lastDayOf(session) }
}

function tokenOf(
  { maker, snapshot, at }: PromiseSession,
  lines: readonly OrderLine[],
  answers: readonly TrialAnswer[],
): string {
  return mintOffer(maker, {
    accountId: lines[0]?.accountId ?? '',
    revision: snapshot.revision,
    issuedAt: at,
    lines: lines.map((line, index) => ({
      packId: line.packId,
      quantity: line.quantity,
      serveOn: line.serveOn,
      offeredOn: answers[index]?.serveOn ?? line.serveOn,
      latestServeOn: line.latestServeOn,
      priority: line.priority,
      splittable: line.splittable,
    })),
  })
}
