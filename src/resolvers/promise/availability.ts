// What can be offered when: for an account, by serve day and pack, the greatest quantity. All from one snapshot.
import { LRUCache } from 'lru-cache'
import { z } from 'zod'
import { issue } from '../../errors.ts'
import {
  addDays,
  firstDispatchDays,
  type LocalDate,
  lineWithDefaults,
  localDate,
} from '../../planner/documents/index.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import { nextTurn } from '../../thread-turns.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import { thingRef } from '../thing-ref.ts'
import { openPromiseSession, type PromiseSession } from './promise-session.ts'

/** Most days, and most packs, of one answer. */
export const MOST_DAYS = 62
export const MOST_PACKS = 200
/** Quantities are not looked for beyond this. */
export const MOST_OFFERED = 1000

const shape = z.strictObject({
  account: thingRef,
  from: localDate,
  to: localDate,
  packs: z.array(thingRef).min(1).max(MOST_PACKS).optional(),
})

export interface OfferedPack {
  packId: string
  /** Whole containers, 1 to MOST_OFFERED. */
  quantity: number
  /** Whether there may be more than MOST_OFFERED. */
  capped: boolean
}

export interface OfferedDay {
  serveOn: LocalDate
  /** Packs of which there is something to offer, in the order in which they were asked for. */
  packs: OfferedPack[]
}

export interface Availability {
  revision: number
  /** Every day from the first to the last. */
  days: OfferedDay[]
}

/**
 * The greatest quantity of each pack that `promise` would serve on each day, each on its own: two of them together may be
 * too much. Without packs, all that are not retired. Throws `InvalidInput`, and `Conflict` where no plan is in force.
 */
export async function availability(actor: PlanningActor, input: unknown): Promise<Availability> {
  const reading = readInput(shape, input)
  const { given } = reading
  const session = await openPromiseSession(actor)
  const { refs, snapshot } = session
  refs.take(reading)
  const accountId = await refs.account(given.account, 'account')
  const packIds = given.packs ? [] : await allPacks(actor)
  for (const [index, ref] of (given.packs ?? []).entries()) packIds.push(await refs.pack(ref, `packs[${index}]`))
  const days = daysOf(given.from, given.to)
  refs.day(given.from, 'from')
  refs.day(given.to, 'to')
  if (given.to < given.from)
    refs.noteBeside(['from'], issue('to', 'SPAN_REVERSED', `${given.to} is before ${given.from}`))
  else if (days.length > MOST_DAYS)
    refs.noteBeside(
      ['from'],
      issue('to', 'TOO_MANY', `${given.from} to ${given.to} are too many days; at most ${MOST_DAYS}`),
    )
  if (packIds.length > MOST_PACKS)
    refs.note(issue('packs', 'TOO_MANY', `there are ${packIds.length} packs; name at most ${MOST_PACKS} of them`))
  refs.settle()
  const found: { packId: string; quantities: readonly number[] }[] = []
  for (const packId of new Set(packIds)) {
    found.push({ packId, quantities: quantitiesOf(session, accountId, packId, given.from, given.to) })
    await nextTurn()
  }
  return {
    revision: snapshot.revision,
    days: days.map((serveOn, index) => ({
      serveOn,
      packs: found.flatMap(({ packId, quantities }) => {
        const quantity = quantities[index] ?? 0
        return quantity > 0 ? [{ packId, quantity, capped: quantity === MOST_OFFERED }] : []
      }),
    })),
  }
}

async function allPacks({ client, distributorId }: PlanningActor): Promise<string[]> {
  const packs = await client.pack.findMany({
    where: { distributorId, retiredAt: null, beer: { retiredAt: null } },
    select: { id: true },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  return packs.map(({ id }) => id)
}

/** The days of a span, one more than MOST_DAYS at most. */
function daysOf(from: LocalDate, to: LocalDate): LocalDate[] {
  const days: LocalDate[] = []
  for (let day = from; day <= to && days.length <= MOST_DAYS; day = addDays(day, 1)) days.push(day)
  return days
}

/** What was found in a snapshot, which never changes. */
const known = new WeakMap<Snapshot, LRUCache<string, readonly number[]>>()
/** Answers that are kept for a snapshot, and the bytes that they take together, as estimated. */
const MOST_ANSWERS = 10_000
const MOST_BYTES = 8 * 1024 * 1024
/** Bytes of a number in a list, and of an entry beside its key and its list. */
const BYTES_A_NUMBER = 8
const BYTES_AN_ENTRY = 200

/** By day; order forms ask the same again and again. Accounts that are supplied alike have the same answer. */
function quantitiesOf(
  { snapshot, problem, trial, at }: PromiseSession,
  accountId: string,
  packId: string,
  from: LocalDate,
  to: LocalDate,
): readonly number[] {
  const { id: _, ...supplied } = problem.accounts.find(({ id }) => id === accountId) ?? { id: accountId }
  const placedAt = at.toISOString()
  // B6: what can be had depends on the time only by the days that an order still catches.
  const key = JSON.stringify([supplied, packId, from, to, firstDispatchDays(problem, accountId, placedAt)])
  const answers = known.get(snapshot) ?? answerCache()
  known.set(snapshot, answers)
  let answer = answers.get(key)
  if (!answer) {
    const asked = { id: 'asked-0', orderId: 'asked', accountId, packId, quantity: MOST_OFFERED, placedAt }
    const line = lineWithDefaults({ ...asked, serveOn: from })
    answer = trial().maxAvailable({ ...line, latestServeOn: to })
    answers.set(key, answer)
  }
  return answer
}

function answerCache() {
  return new LRUCache<string, readonly number[]>({
    max: MOST_ANSWERS,
    maxSize: MOST_BYTES,
    sizeCalculation: (answer, key) => BYTES_AN_ENTRY + 2 * key.length + BYTES_A_NUMBER * answer.length,
  })
}
