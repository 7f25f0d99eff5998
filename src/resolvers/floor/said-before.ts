// What was said or assumed before: the same once more, or the same thing otherwise.
import { dateOf } from '../../database/calendar-day.ts'
import { Conflict } from '../../errors.ts'
import type { Fact } from '../../floor/facts/fact.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import { EFFECTIVE, factOf } from '../../records/fact-rows.ts'
import type { References } from '../thing-ref.ts'
import { type AssumedOf, type Decision, decisionOf, type Meant } from './fact-kind.ts'
import type { FactWriting } from './write-fact.ts'

/** What is said, as far as it shows whether it was said before. */
export interface SaidAgain {
  path: string
  reference: string | undefined
  contentHash: string
  /** The fact that it corrects. Absent: none. */
  correctsId?: string
}

/** The fact that was recorded with the same reference; a conflict is noted where it said something else, or of something else. */
export async function saidBefore(
  { tx, distributorId }: Pick<FactWriting, 'tx' | 'distributorId'>,
  refs: References,
  { path, reference, contentHash, correctsId }: SaidAgain,
): Promise<string | undefined> {
  if (reference === undefined) return undefined
  const known = await tx.fact.findUnique({ where: { distributorId_reference: { distributorId, reference } } })
  if (!known) return undefined
  if (known.contentHash === contentHash && known.correctsId === (correctsId ?? null)) return known.id
  refs.refuse(`${path}.reference`, new Conflict('REFERENCE_USED', `Another fact was recorded as "${reference}".`))
  return known.id
}

/** The warning that the same was said of the day before, under another reference or none. */
export async function saidTwice(
  { tx, distributorId }: FactWriting,
  contentHash: string,
  on: LocalDate,
): Promise<Meant['warnings']> {
  if (contentHash === '') return []
  const before = await tx.fact.findFirst({ where: { distributorId, contentHash, on: dateOf(on), ...EFFECTIVE } })
  const message = 'The same was recorded of that day before: withdraw one of the two if it happened once.'
  return before ? [{ code: 'SAID_BEFORE', message }] : []
}

/**
 * Facts that the delivery of a line was not done: what is said of it, or assumed later, replaces them. Plans use the names of other
 * decisions again once they are carried out, so that a name alone does not say that it is the same work.
 */
export async function dueBefore({ tx, distributorId }: FactWriting, { decision }: Meant): Promise<string[]> {
  if (decision?.kind !== 'DELIVERY') return []
  const of = { decisionKind: decision.kind, decisionId: decision.id }
  const rows = await tx.fact.findMany({
    where: { distributorId, ...EFFECTIVE, kind: 'NOT_DONE', ...of },
    select: { id: true },
  })
  return rows.map(({ id }) => id)
}

/** A fact that was assumed, and the decision that it was assumed to carry out. */
export interface Assumed {
  fact: Fact
  decision: Decision | undefined
}

/** The newest assumed fact that is meant and counts; undefined where there is none. */
export async function findAssumed(
  { tx, distributorId }: Pick<FactWriting, 'tx' | 'distributorId'>,
  { kinds, decision, subjects = [], on, where = () => true }: AssumedOf,
): Promise<Assumed | undefined> {
  const rows = await tx.fact.findMany({
    where: {
      ...{ distributorId, ...EFFECTIVE, assumed: true, kind: { in: [...kinds] } },
      ...(decision ? { decisionKind: decision.kind, decisionId: decision.id } : {}),
      ...(on === undefined ? {} : { on: dateOf(on) }),
      AND: subjects.map(({ kind, id: subjectId }) => ({ subjects: { some: { kind, subjectId } } })),
    },
    orderBy: { number: 'desc' },
  })
  for (const row of rows) {
    const fact = factOf(row)
    if (await where(fact)) return { fact, decision: decisionOf(row) }
  }
  return undefined
}
