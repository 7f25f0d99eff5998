// One fact to rows: what it needs to be there, itself, its entries in the ledger, and the rows that follow from it.
import { randomUUID } from 'node:crypto'
import { dateOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { mayHelp } from '../../floor/facts/fact.ts'
import { postingsOf } from '../../floor/facts/postings.ts'
import { kindOf, type Place } from '../../floor/ledger/place.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import { factOf, type Subject } from '../../records/fact-rows.ts'
import { appendToLedger, type EntryCounter } from '../../records/ledger.ts'
import { projectFacts } from '../../records/project-facts.ts'
import type { Meant } from './fact-kind.ts'

/** Where facts are written: the transaction under the lock, and what counts up in it. */
export interface FactWriting {
  tx: TransactionClient
  distributorId: string
  /** The instant of recording. */
  now: Date
  counter: EntryCounter
  /** The number of the fact that was recorded last. */
  number: number
  /** What the plan in force has to follow. */
  change: {
    /** The ids of the order lines whose rows were written. */
    lineIds: Set<string>
    /** Whether plans may be able to do more than before. */
    mayHelp: boolean
    /** Whether containers moved at accounts, on the road or among those to be washed. */
    containersOut: boolean
  }
}

/** What is said besides what happened. */
export interface SaidOf {
  /** The id that the fact gets. Absent: a new one. */
  id?: string
  on: LocalDate
  at?: string | undefined
  reference?: string | undefined
  contentHash: string
  /** The name of the key, or what assumes it. */
  saidBy: string
  assumed: boolean
  /** Of what was assumed: whether it is due until someone says it. */
  due?: boolean
  /** The fact that it corrects or, where it was assumed, replaces. */
  corrects?: string | undefined
  replaces?: readonly string[]
}

/** Begins writing at the next revision. */
export async function beginFacts(
  tx: TransactionClient,
  distributorId: string,
  revision: number,
  now: Date,
): Promise<FactWriting> {
  const { _max } = await tx.fact.aggregate({ where: { distributorId }, _max: { number: true } })
  const change = { lineIds: new Set<string>(), mayHelp: false, containersOut: false }
  return { tx, distributorId, now, counter: { revision, n: 0 }, number: _max.number ?? 0, change }
}

/** Writes a fact; `replaces` no longer count. Answers its id. */
export async function writeFact(writing: FactWriting, meant: Meant, said: SaidOf): Promise<string> {
  const { tx, distributorId } = writing
  await meant.create?.()
  const id = said.id ?? randomUUID()
  writing.number += 1
  const { kind, data } = meant.happened
  const row = {
    ...{ distributorId, id, number: writing.number, kind, siteId: meant.siteId, on: dateOf(said.on) },
    at: said.at === undefined ? null : new Date(said.at),
    // Undefined parts are left out, as JSON has none.
    data: JSON.parse(JSON.stringify(data)),
    ...{ reference: said.reference ?? null, contentHash: said.contentHash, saidBy: said.saidBy },
    ...{ assumed: said.assumed, due: said.due ?? false, revision: writing.counter.revision, recordedAt: writing.now },
    correctsId: said.corrects ?? null,
    decisionKind: meant.decision?.kind ?? null,
    decisionId: meant.decision?.id ?? null,
    warnings: meant.warnings.map(({ code, message }) => ({ code, message })),
  }
  const subjects = uniqueSubjects(meant.subjects)
  const subjectRows = subjects.map(({ kind: subject, id: subjectId }) => ({
    ...{ distributorId, factId: id, kind: subject, subjectId },
  }))
  const gone = said.replaces ?? []
  const before = await subjectsOf(writing, gone)
  const balances = await appendToLedger(tx, distributorId, writing.counter, postingsOf(factOf(row)), gone, [
    { model: 'Fact', rows: [row] },
    { model: 'FactSubject', rows: subjectRows },
  ])
  if (gone.length > 0)
    await tx.fact.updateMany({ where: { distributorId, id: { in: [...gone] } }, data: { replacedById: id } })
  // What is filled beside the plan can serve what the plan did not.
  if (gone.length > 0 || mayHelp(kind) || (kind === 'FILLED' && !meant.decision)) writing.change.mayHelp = true
  await project(writing, [...subjects, ...before], balances, gone.length > 0)
  return id
}

/** Takes back all that facts moved, as they count no more: the fact `by` counts in their place. */
export async function takeBack(writing: FactWriting, gone: readonly string[], by: string): Promise<void> {
  const { tx, distributorId, counter } = writing
  const before = await subjectsOf(writing, gone)
  writing.change.mayHelp = true
  await tx.fact.updateMany({ where: { distributorId, id: { in: [...gone] } }, data: { replacedById: by } })
  const balances = await appendToLedger(tx, distributorId, counter, [], gone)
  await project(writing, before, balances, true)
}

/** Writes the rows that follow from the facts about some things. */
async function project(
  { tx, distributorId, change }: FactWriting,
  subjects: readonly Subject[],
  balances: ReadonlyMap<Place, number>,
  isTakenBack: boolean,
): Promise<void> {
  for (const { kind, id } of subjects) if (kind === 'ORDER_LINE') change.lineIds.add(id)
  // What is on the road is read from lines and what was said of them.
  if (change.lineIds.size > 0 || [...balances.keys()].some(isOut)) change.containersOut = true
  await projectFacts(tx, distributorId, subjects, balances, isTakenBack)
}

/** Whether a place is one of containers that are neither clean nor filled at their site. */
function isOut(place: Place): boolean {
  const kind = kindOf(place)
  return kind === 'AT_ACCOUNT' || kind === 'ON_ROAD' || kind === 'DIRTY'
}

/** Writes that a fact, which has been taken back, did not happen: nothing takes its place. */
export async function writeWithdrawal(
  writing: FactWriting,
  original: { id: string; kind: string; siteId: string; on: Date },
  said: { id: string; saidBy: string },
): Promise<void> {
  const { tx, distributorId } = writing
  writing.number += 1
  const { kind, siteId, on } = original
  await tx.fact.create({
    data: {
      ...{ distributorId, id: said.id, number: writing.number, kind, siteId, on, data: {} },
      ...{ contentHash: '', saidBy: said.saidBy, revision: writing.counter.revision, recordedAt: writing.now },
      ...{ correctsId: original.id, withdraws: true },
    },
  })
}

async function subjectsOf({ tx, distributorId }: FactWriting, factIds: readonly string[]): Promise<Subject[]> {
  if (factIds.length === 0) return []
  const rows = await tx.factSubject.findMany({ where: { distributorId, factId: { in: [...factIds] } } })
  return rows.map(({ kind, subjectId }) => ({ kind, id: subjectId }))
}

function uniqueSubjects(subjects: readonly Subject[]): Subject[] {
  return [...new Map(subjects.map((each) => [`${each.kind}|${each.id}`, each])).values()]
}
