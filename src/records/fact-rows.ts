// Facts to rows and back.
import { dayOf } from '../database/calendar-day.ts'
import type { $Enums, Prisma, TransactionClient } from '../database/client.ts'
import { type Fact, parseFact } from '../floor/facts/fact.ts'

/** A thing that a fact is about. */
export interface Subject {
  kind: $Enums.FactSubjectKind
  id: string
}

/** A fact as its row has it. */
export function factOf(row: Prisma.FactGetPayload<object>): Fact {
  const base = {
    ...{ id: row.id, siteId: row.siteId, day: dayOf(row.on), recorded: row.number, assumed: row.assumed },
    ...(row.at === null ? {} : { at: row.at.toISOString() }),
  }
  return parseFact(base, row.kind, row.data)
}

/** The condition of facts that count: neither replaced nor withdrawing another. */
export const EFFECTIVE = { replacedById: null, withdraws: false } as const

/**
 * The facts that count and that are about some things, by thing, in the order of recording. Read from the things: a database
 * that is asked for the facts goes through all of them.
 */
export async function factsAbout(
  tx: TransactionClient,
  distributorId: string,
  kind: $Enums.FactSubjectKind,
  ids: readonly string[],
): Promise<Map<string, Fact[]>> {
  const rows = await tx.factSubject.findMany({
    where: { distributorId, kind, subjectId: { in: [...ids] }, fact: EFFECTIVE },
    include: { fact: true },
  })
  const byThing = new Map<string, Fact[]>(ids.map((id) => [id, []]))
  for (const { subjectId, fact } of rows.toSorted((a, b) => a.fact.number - b.fact.number))
    byThing.get(subjectId)?.push(factOf(fact))
  return byThing
}
