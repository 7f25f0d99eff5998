// What everyone who works on a day of a season has at hand, and how facts are said.
import { z } from 'zod'
import type { Regular } from '../../seeds/demo/accounts.ts'
import type { Random } from '../../seeds/random.ts'
import type { LocalDate } from '../../src/planner/documents/index.ts'
import { decodeGlobalId } from '../../src/resolvers/global-id.ts'
import type { Changed, SeasonApi } from './api.ts'
import type { Diary } from './diary.ts'
import type { Mishap } from './mishaps.ts'
import { MOVES_SELECTION, movesShape, wordsOfMoves } from './plan-moves.ts'
import type { RisksAnswered } from './promise-watch.ts'

export interface Shift {
  api: SeasonApi
  /** The day in the brewery's zone. */
  day: LocalDate
  /** A stream of this part of the day alone. */
  random: Random
  diary: Diary
  /** Whether something goes wrong on an occasion. */
  strikes: (kind: Mishap) => boolean
  /** Accounts that order by habit. */
  regulars: readonly Regular[]
  /** What is remembered from day to day. */
  memory: Memory
}

/** What people remember although the API would say it too, or need not know. */
export interface Memory {
  /** Facts that people said, by their ids in the records: none of them may ever be lost. */
  readonly said: Set<string>
  /** What the answers to facts said of promises. */
  readonly answered: RisksAnswered[]
  /** Lines that left and have not arrived, with the day of arrival. */
  readonly road: Map<string, { on: LocalDate; words: string; isCalledBack?: boolean }>
  /** Things that are kept back or out, and the day on which that ends, and how. */
  readonly pending: { on: LocalDate; end: (shift: Shift) => Promise<void> }[]
}

export const newMemory = (): Memory => ({ said: new Set(), answered: [], road: new Map(), pending: [] })

export const factsShape = z.object({
  revision: z.int(),
  facts: z.array(z.object({ id: z.string(), kind: z.string() })),
  moved: movesShape,
  atRisk: z.array(
    z.object({
      isNew: z.boolean(),
      promisedOn: z.string(),
      expectedOn: z.string().nullable(),
      containers: z.int().nullable(),
      account: z.object({ name: z.string() }).nullable(),
      orderLine: z.object({ id: z.string(), quantity: z.int(), pack: z.object({ name: z.string() }) }).nullable(),
    }),
  ),
})

export type FactsAnswer = z.output<typeof factsShape>

export const FACTS_SELECTION = `revision facts { id kind }
  ${MOVES_SELECTION}
  atRisk { isNew promisedOn expectedOn containers account { name } orderLine { id quantity pack { name } } }`

/** Says several facts at once, and remembers them. Answers undefined where they are refused. */
export async function sayFacts(shift: Shift, facts: readonly object[]): Promise<Changed<FactsAnswer>> {
  if (facts.length === 0) return undefined
  const answer = await shift.api.change(
    'floor',
    ['recordFacts', 'FactsPayload'],
    { facts },
    factsShape,
    FACTS_SELECTION,
  )
  return noted(shift, answer)
}

/** The same for a correction or a confirmation. */
export async function sayOfFacts(
  shift: Shift,
  mutation: 'correctFact' | 'confirmFacts',
  input: object,
): Promise<Changed<FactsAnswer>> {
  const answer = await shift.api.change('floor', [mutation, 'FactsPayload'], input, factsShape, FACTS_SELECTION)
  return noted(shift, answer)
}

/** Writes into the diary what an answer says of the plan. */
function noted({ memory, diary }: Shift, answer: Changed<FactsAnswer>): Changed<FactsAnswer> {
  if (!answer) return undefined
  const { revision, facts, atRisk } = answer
  for (const { id } of facts) memory.said.add(plain(id))
  const newRisks = atRisk.flatMap(({ isNew, orderLine }) => (isNew && orderLine ? [plain(orderLine.id)] : []))
  memory.answered.push({ revision, orderLineIds: newRisks })
  diary.note('moved', ...wordsOfMoves(answer.moved))
  for (const { isNew, account, orderLine, promisedOn, expectedOn } of atRisk)
    if (isNew && account && orderLine) {
      const now = expectedOn === null ? 'cannot be had' : `comes on ${expectedOn}`
      diary.note('to call', `${account.name}: ${orderLine.pack.name} promised for ${promisedOn} ${now}`)
    }
  return answer
}

const plain = (id: string): string => decodeGlobalId(id)?.id ?? id
