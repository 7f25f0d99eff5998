// What a floor says in random order, as the API takes it: facts of every kind, late ones, corrections and withdrawals.

import { lastCasksScenario } from '../../seeds/last-casks.ts'
import type { Random } from '../../seeds/random.ts'
import { addDays, type LocalDate } from '../../src/planner/documents/index.ts'
import { makePlan } from '../../src/planner/index.ts'
import type { Scenario } from '../../src/records/scenario.ts'
import { FACT_INPUT_KEYS } from '../../src/resolvers/floor/kinds.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import type { PlanningActor } from '../../src/resolvers/planning-actor.ts'
import { readPlanDocuments } from '../../src/resolvers/plans/plan-documents.ts'
import { DRAWS, type Drawn } from './fact-inputs.ts'
import { readThings } from './things.ts'

/** One call of the floor. */
export interface Act {
  query: string
  input: object
}

const ANSWER = '__typename ... on FactsPayload { facts { id } }'
const RECORD = `mutation ($input: RecordFactsInput!) { it: recordFacts(input: $input) { ${ANSWER} } }`
const CORRECT = `mutation ($input: CorrectFactInput!) { it: correctFact(input: $input) { ${ANSWER} } }`

/** The brewery of the last casks with orders of forty casks and a plan in force. */
export function orderedScenario(today: LocalDate, timeZone: string): Scenario {
  const scenario = lastCasksScenario(today, timeZone)
  const orderLines = Array.from({ length: 8 }, (_, n) => ({
    ...{ id: `line-${n}`, orderId: `order-${n}`, accountId: `A-${1 + (n % 2)}`, packId: 'ale-firkin', quantity: 5 },
    ...{ serveOn: addDays(today, 4 + n), promisedOn: addDays(today, 4 + n), priority: 1 as const, splittable: false },
  }))
  const problem = { ...scenario.problem, orderLines }
  return { ...scenario, problem: { ...problem, baseline: makePlan(problem, { steps: 0 }).plan } }
}

/** What is said next, drawn of what is there; undefined where what was drawn could be about nothing. */
export async function nextAct(
  random: Random,
  actor: PlanningActor,
  today: LocalDate,
  reference: string,
): Promise<Act | undefined> {
  const { plan, ...documents } = await readPlanDocuments(actor)
  if (!plan) throw new Error('no plan is in force')
  const things = await readThings(actor, { ...documents, plan })
  const drawn: Drawn = {
    things,
    pick: (list) => (list.length === 0 ? undefined : random.pick(list)),
    quantity: random.int(1, 30),
    odd: random.chance(0.5),
  }
  const corrected = random.chance(0.2) ? drawn.pick(things.facts) : undefined
  if (corrected) return { query: CORRECT, input: { fact: encodeGlobalId('Fact', corrected.id), withdraw: true } }
  const key = random.pick(FACT_INPUT_KEYS)
  const input = DRAWS[key](drawn)
  if (!input) return undefined
  const fact = { ...input, on: addDays(today, -random.pick([0, 0, 0, 1, 3])), reference }
  return { query: RECORD, input: { facts: [{ [key]: fact }] } }
}
