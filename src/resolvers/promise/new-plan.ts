// Could a new plan keep what the plan in force cannot promise? It is looked for in the background, once for each question and
// revision, and offered as an alternative of its own kind.
import { randomUUID } from 'node:crypto'
import type { TransactionClient } from '../../database/client.ts'
import { NotFound } from '../../errors.ts'
import { enqueue } from '../../jobs/enqueue.ts'
import { dayWords, laterOf, type OrderLine, type Reason } from '../../planner/documents/index.ts'
import { encodeGlobalId, rowIdIn } from '../global-id.ts'
import type { PlanningActor } from '../planning-actor.ts'
import type { Alternative } from './alternative.ts'
import { askedLinesOf } from './asked-line.ts'
import { askedOf, type FoundPlan, questionKey, resultOf, type SearchRow, searchRow } from './new-plan-rows.ts'
import { mintOffer } from './offer-token.ts'
import { NEW_PLAN } from './promise-question.ts'
import { openPromiseSession, type PromiseSession } from './promise-session.ts'
import { SEARCH_NEW_PLAN } from './search-new-plan.ts'
import { type Answered, summaryOfAlternative } from './summary.ts'

/** Most searches of a distributor that are under way or wait. */
export const MOST_SEARCHING = 2
/** Searches that are kept with their plans; of more the oldest go. */
export const MOST_KEPT = 20
/** Seconds of a search where nothing else is set. */
export const SEARCH_SECONDS = 4

const SEED = 1
/** Begins come one after the other for each distributor, so that two processes never both begin the last one. */
const BEGINNING = 72707372

export const NEW_PLAN_STATES = ['SEARCHING', 'FOUND', 'NONE', 'FAILED', 'NOT_SOUGHT'] as const

/** Whether a new plan could keep what the plan in force cannot. */
export interface NewPlan {
  state: (typeof NEW_PLAN_STATES)[number]
  /** Global id of the search. Absent: none was begun. */
  id?: string
  message: string
  /** The revision of the records that it was answered from. */
  fromRevision?: number
  /** The offer, where one was found. */
  alternative?: Alternative
  /** What it changes and adds, and what it costs more. */
  moves?: Pick<FoundPlan, 'changed' | 'added' | 'costDifference'>
  /** What binds the lines even in a new plan. */
  limits: Reason[]
}

/**
 * What is known of a new plan for a question that was answered; null where nothing is late or no day was wished. Where nothing
 * is known yet and the caller `mayBegin` it, a search begins: the records and the plan in force stay as they are.
 */
export async function newPlanFor(
  actor: PlanningActor,
  { session, lines, offered, undated }: Answered & { session: PromiseSession },
  mayBegin: boolean,
): Promise<NewPlan | null> {
  const { newPlanEffort = { seconds: SEARCH_SECONDS } } = actor
  if (undated || offered.allOnTime || newPlanEffort.seconds === 0) return null
  const { client, clock, distributorId, jobs } = actor
  const question = questionKey(lines)
  const { revision } = session.snapshot
  const known = await knownSearch(client, distributorId, question, revision)
  if (known) return newPlanOf(session, known)
  if (!mayBegin) return unsought('A new plan is looked for only for a key that may reserve (`orders:write`).')
  const begun = await client.$transaction(async (tx) => {
    await tx.$executeRaw`SELECT pg_advisory_xact_lock(${BEGINNING}::int, hashtext(${distributorId}))`
    const meanwhile = await knownSearch(tx, distributorId, question, revision)
    if (meanwhile) return meanwhile
    const searching = await tx.newPlanSearch.count({ where: { distributorId, status: 'SEARCHING' } })
    if (searching >= MOST_SEARCHING) return null
    await forgetOldest(tx, distributorId)
    const id = randomUUID()
    const asked = lines.map((line) => ({ ...line }))
    const row = await tx.newPlanSearch.create({
      data: {
        ...{ distributorId, id, question, asked, status: 'SEARCHING', atRevision: revision },
        createdAt: clock.now(),
      },
    })
    const effort = { seed: SEED, ...newPlanEffort }
    await enqueue({ tx, clock }, distributorId, SEARCH_NEW_PLAN, { effort }, { key: id, seconds: effort.seconds })
    return row
  })
  if (!begun) return unsought('New plans are being looked for already for other questions; ask again in a few seconds.')
  jobs.wake()
  return newPlanOf(session, begun)
}

/** What is known of a search by its global id. Throws `NotFound`: only the newest searches are kept. */
export async function newPlanSearch(actor: PlanningActor, globalId: string): Promise<NewPlan> {
  const id = rowIdIn(KIND, globalId)
  const row = id === undefined ? null : await searchRow(actor.client, actor.distributorId, id)
  if (!row) throw new NotFound(KIND, globalId)
  return newPlanOf(await openPromiseSession(actor), row)
}

const KIND = 'NewPlanSearch'

/** The search of a question that is under way, or was answered at a revision. */
function knownSearch(
  tx: TransactionClient,
  distributorId: string,
  question: string,
  atRevision: number,
): Promise<SearchRow | null> {
  return tx.newPlanSearch.findFirst({
    where: { distributorId, question, OR: [{ atRevision }, { status: 'SEARCHING' }] },
    orderBy: { atRevision: 'desc' },
  })
}

/** Makes room for one more. */
async function forgetOldest(tx: TransactionClient, distributorId: string): Promise<void> {
  await tx.$executeRaw`
    DELETE FROM "NewPlanSearch" WHERE "distributorId" = ${distributorId} AND "id" IN (
      SELECT "id" FROM "NewPlanSearch" WHERE "distributorId" = ${distributorId} AND "status" <> 'SEARCHING'
      ORDER BY "createdAt" DESC, "id" DESC OFFSET ${MOST_KEPT - 1})`
}

function unsought(message: string): NewPlan {
  return { state: 'NOT_SOUGHT', message, limits: [] }
}

/** A search as callers see it. */
function newPlanOf(session: PromiseSession, row: SearchRow): NewPlan {
  const lines = askedOf(row)
  const result = resultOf(row)
  const known = { id: encodeGlobalId(KIND, row.id), limits: [], fromRevision: row.fromRevision ?? undefined }
  const on = dayWords(lines.map(({ serveOn }) => serveOn).reduce(laterOf))
  if (row.status === 'FAILED') return { ...known, state: 'FAILED', message: 'The search for a new plan failed.' }
  if (!result)
    return { ...known, state: 'SEARCHING', message: `A new plan is being looked for that serves it by ${on}.` }
  if (result.kind === 'NONE')
    return {
      ...{ ...known, state: 'NONE', limits: result.reasons },
      message: `No new plan was found that serves it by ${on} and no other line later.`,
    }
  const { changed, added, costDifference } = result
  return {
    ...{ ...known, state: 'FOUND', message: foundInWords(result, on), moves: { changed, added, costDifference } },
    alternative: alternativeOf(session, row, lines, result),
  }
}

function foundInWords({ changed, added }: FoundPlan, on: string): string {
  const count = (n: number, verb: string) => `${n} ${n === 1 ? 'decision' : 'decisions'} of the brewery's plan ${verb}`
  const moves = [
    ...(changed > 0 ? [count(changed, changed === 1 ? 'moves' : 'move')] : []),
    ...(added > 0 ? [`${added} ${added === 1 ? 'is' : 'are'} added`] : []),
  ]
  return `A new plan serves it by ${on}: ${[...moves, 'no other line is served later'].join(', ')}.`
}

function alternativeOf(
  session: PromiseSession,
  { id, fromRevision, solvedAt }: SearchRow,
  asked: readonly OrderLine[],
  { answers, ...found }: FoundPlan,
): Alternative {
  const lines = answers.map(({ orderLineId: _, limits, ...answer }, index) => ({
    ...answer,
    packId: asked[index]?.packId ?? '',
    wantedOn: asked[index]?.serveOn ?? '',
    limits: () => limits,
  }))
  const serveOn = asked.map((line) => line.serveOn).reduce(laterOf)
  const placed = asked.map((line, index) => ({ ...line, of: [index] }))
  const offered = asked.map(({ packId, quantity, serveOn, latestServeOn, priority, splittable }) => ({
    ...{ packId, quantity, serveOn, latestServeOn, priority, splittable, offeredOn: serveOn },
  }))
  const alternative: Alternative = {
    ...{ kind: NEW_PLAN, lines, serveOn, message: foundInWords({ answers, ...found }, dayWords(serveOn)) },
    asked: askedLinesOf(asked, { lines: placed }, lines),
    offerToken: mintOffer(session.maker, {
      ...{ accountId: asked[0]?.accountId ?? '', lines: offered, newPlanSearchId: id },
      revision: fromRevision ?? 0,
      issuedAt: solvedAt ?? session.at,
    }),
    summary: (nameOf) => summaryOfAlternative(session, alternative, nameOf),
  }
  return alternative
}
