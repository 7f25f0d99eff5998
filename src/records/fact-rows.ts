// Facts to rows and back.
import { dayOf } from '../database/calendar-day.ts'
import type { $Enums, Prisma, TransactionClient } from '../database/client.ts'
import { type Fact, type FactKind, type FactOf, parseFact } from '../floor/facts/fact.ts'

/** A thing that a fact is about. */
export interface Subject {
  kind: $Enums.FactSubjectKind
  id: string
}

/** A fact as its row has it. */
export function factOf(
  row: Pick<Prisma.FactGetPayload<object>, 'id' | 'number' | 'siteId' | 'on' | 'at' | 'assumed' | 'kind' | 'data'>,
): Fact {
  const base = {
    ...{ id: row.id, siteId: row.siteId, day: dayOf(row.on), recorded: row.number, assumed: row.assumed },
    ...(row.at === null ? {} : { at: row.at.toISOString() }),
  }
  return parseFact(base, row.kind, row.data)
}

/** The condition of facts that count: neither replaced nor withdrawing another. */
export const EFFECTIVE = { replacedById: null, withdraws: false } as const

/** Things of one kind. */
interface Subjects {
  kind: $Enums.FactSubjectKind
  ids: readonly string[]
}

/** The facts that count and that are about some things, by kind and thing, in the order of recording; read together. */
export async function factsAboutAll(
  tx: TransactionClient,
  distributorId: string,
  things: readonly Subjects[],
): Promise<Map<$Enums.FactSubjectKind, Map<string, Fact[]>>> {
  const found = new Map(things.map(({ kind, ids }) => [kind, new Map<string, Fact[]>(ids.map((id) => [id, []]))]))
  const named = things.filter(({ ids }) => ids.length > 0)
  if (named.length === 0) return found
  const rows = await tx.factSubject.findMany({
    where: {
      OR: named.map(({ kind, ids }) => ({ distributorId, kind, subjectId: { in: [...ids] } })),
      fact: { is: EFFECTIVE },
    },
    include: { fact: true },
  })
  for (const { kind, subjectId, fact } of rows.toSorted((a, b) => a.fact.number - b.fact.number))
    found.get(kind)?.get(subjectId)?.push(factOf(fact))
  return found
}

/** The facts that count and that are about some things, by thing, in the order of recording. */
export async function factsAbout(
  tx: TransactionClient,
  distributorId: string,
  kind: $Enums.FactSubjectKind,
  ids: readonly string[],
): Promise<Map<string, Fact[]>> {
  const byThing = new Map<string, Fact[]>(ids.map((id) => [id, []]))
  for (const { subjectId, fact } of await readAbout(tx, distributorId, { kind, ids }))
    byThing.get(subjectId)?.push(factOf(fact))
  return byThing
}

/** The facts of some kinds that count and that are about any of some things, each once, in the order of recording. */
export async function factsOn<Kind extends FactKind>(
  tx: TransactionClient,
  distributorId: string,
  subjects: Subjects,
  kinds: readonly Kind[],
): Promise<FactOf<Kind>[]> {
  const read = await readAbout(tx, distributorId, subjects, { kind: { in: [...kinds] } })
  const rows = new Map(read.map(({ fact }) => [fact.id, fact]))
  const isWanted = (fact: Fact): fact is FactOf<Kind> => kinds.some((each) => each === fact.kind)
  return [...rows.values()].map(factOf).filter(isWanted)
}

/** Read from the things: a database that is asked for the facts goes through all of them. */
async function readAbout(
  tx: TransactionClient,
  distributorId: string,
  { kind, ids }: Subjects,
  which: Prisma.FactWhereInput = {},
) {
  if (ids.length === 0) return []
  const rows = await tx.factSubject.findMany({
    where: { distributorId, kind, subjectId: { in: [...ids] }, fact: { is: { ...which, ...EFFECTIVE } } },
    include: { fact: true },
  })
  return rows.toSorted((a, b) => a.fact.number - b.fact.number)
}
