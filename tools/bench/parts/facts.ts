// How long a fact takes with its repair of the plan in force, compared with a reservation: a real server over HTTP, 5,000 open
// lines, one caller after the other.
import { randomFrom } from '../../../seeds/random.ts'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { loadProblem } from '../../../src/records/load-problem.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { callerOf, type HttpAnswer } from '../../serving/caller.ts'
import { LARGE_ID, plannedLargeScenario, saveLarge } from '../../serving/large-data.ts'
import { ownDatabase } from '../../serving/own-database.ts'
import { Asks, RELEASE, RESERVE } from '../../serving/questions.ts'
import { startedServer } from '../../serving/server-process.ts'
import { milliseconds, type Part, type Report } from '../part.ts'
import { percentile } from '../statistics.ts'

const SEED = 7

/** Reservations that are made and given back before each fact. */
const RESERVATIONS = 4

/** So many of the first facts, and of the first reservations, are not measured: a server that has just started runs cold code. */
const WARM_UP = 12

const RECORD = `mutation ($input: RecordFactsInput!) {
  recordFacts(input: $input) {
    __typename
    ... on FactsPayload { revision moved { added { kind } moved { kind } dropped { kind } } atRisk { isNew promisedOn } }
    ... on InvalidInput { issues { path message } }
    ... on Conflict { message }
  }
}`

export const facts: Part = {
  name: 'facts',
  about: 'a fact with its repair of the plan in force, over HTTP with 5,000 open lines, compared with a reservation',
  async run(report) {
    const own = await ownDatabase(process.env.TEST_DATABASE_URL)
    try {
      const scenario = plannedLargeScenario()
      const database = await own.open()
      const keys = await saveLarge(database.client, scenario)
      const { today } = scenario.problem
      const read = () => database.client.$transaction((tx) => loadProblem(tx, LARGE_ID, { today, at: 'BEFORE_SWEEP' }))
      const work = factsOfADay((await read()).problem, report.quick ? 4 : 12)
      await database.close()
      const server = await startedServer(own.environment)
      // Each question on a connection of its own: on a slow machine the server has closed one that waited for its turn.
      const askerWith = (key: string) => async (query: string, variables: Record<string, unknown>) => {
        const caller = callerOf(server.address(), key, 1)
        return caller.ask(query, variables).finally(() => caller.close())
      }
      try {
        await compare(report, new Asks(scenario, SEED), askerWith(keys.sales), askerWith(keys.floor), work)
      } finally {
        await server.stop()
      }
    } finally {
      await own.drop()
    }
  },
}

/** A fact as the API takes it, by what it is about. */
interface Saying {
  kind: string
  fact: Record<string, object>
}

/**
 * What the floor says of the first work of a plan, so much of each kind, in a random order: work as planned, readings, and what
 * goes wrong. Every eighth fill yields less than planned.
 */
function factsOfADay(problem: Problem, most: number): Saying[] {
  const { baseline: plan } = problem
  if (!plan) throw new Error('no plan is in force')
  const random = randomFrom(SEED)
  const some = <T>(list: readonly T[]) => random.shuffled(list).slice(0, most)
  const batch = (id: string) => ({ batch: { id: encodeGlobalId('Batch', id) } })
  const lot = (id: string) => ({ lot: { id: encodeGlobalId('StockLot', id) } })
  const first = <T>(list: readonly T[]) => list.slice(0, most)
  const fills = first(plan.fillRuns.filter(({ batchId }) => isThere(problem, batchId)))
  const filled = fills.map(({ id, quantity }, index) => ({
    filled: { fillRun: id, quantity: index % 8 === 7 ? Math.max(1, quantity - 2) : quantity },
  }))
  const brewed = first(brewsIntoEmpty(problem, plan)).map(({ id }) => ({ brewed: { brew: id } }))
  const dispatched = first(fromLots(plan)).map(({ orderLineId: id }) => ({
    dispatched: { orderLine: { id: encodeGlobalId('OrderLine', id) } },
  }))
  const reading = some(problem.batches).map(({ id }) => ({ reading: { ...batch(id), gravity: 1.01 } }))
  const [kept, counted] = [some(problem.batches).slice(0, 2), some(problem.stock).slice(0, 2)]
  const wrong = [
    ...kept.map(({ id }) => ({ batchQuarantined: batch(id) })),
    ...counted.map(({ id, quantity }) => ({ lotCounted: { ...lot(id), quantity: quantity - 1 } })),
  ]
  const all: Record<string, object>[] = random.shuffled([...filled, ...brewed, ...dispatched, ...reading, ...wrong])
  return all.map((fact) => ({ kind: Object.keys(fact)[0] ?? '', fact }))
}

function isThere({ batches }: Problem, id: string): boolean {
  return batches.some((each) => each.id === id)
}

/** The first brew into each vessel that stands empty. */
function brewsIntoEmpty({ batches }: Problem, { brews }: Plan): Plan['brews'] {
  const taken = new Set(batches.map(({ vesselId }) => vesselId))
  return brews.filter(({ vesselId }) => {
    const isEmpty = !taken.has(vesselId)
    taken.add(vesselId)
    return isEmpty
  })
}

/** Deliveries that take from lots alone, those that leave first in front. */
function fromLots({ deliveries }: Plan): Plan['deliveries'] {
  const ofLots = deliveries.filter(({ from }) => from.every(({ stockLotId }) => stockLotId))
  return ofLots.sort((a, b) => (a.dispatchOn < b.dispatchOn ? -1 : 1))
}

/** Sends a query and answers what came back. */
type Ask = (query: string, variables: Record<string, unknown>) => Promise<HttpAnswer>

async function compare(report: Report, asks: Asks, sales: Ask, floor: Ask, work: Saying[]): Promise<void> {
  const reservations: number[] = []
  const times = new Map<string, number[]>()
  for (const [index, { kind, fact }] of work.entries()) {
    for (let n = 0; n < RESERVATIONS; n += 1) {
      const input = { input: { ...asks.next(), accept: 'LATER' } }
      const reserved = await timed(() => sales(RESERVE, input))
      // Those of the first facts come before them, so that as many of each are not measured.
      if (index * RESERVATIONS + n >= WARM_UP) reservations.push(reserved.ms)
      const id = /"id":"([^"]+)"/.exec(JSON.stringify(reserved.result))?.[1]
      if (id) await sales(RELEASE, { input: { reservation: { id } } })
    }
    const said = await timed(() => floor(RECORD, { input: { facts: [fact] } }))
    if (!JSON.stringify(said.result).includes('"FactsPayload"'))
      report.fault(`${JSON.stringify(fact)} was answered by ${JSON.stringify(said.result)}`)
    if (index >= WARM_UP) times.set(kind, [...(times.get(kind) ?? []), said.ms])
  }
  const all = [...times.values()].flat()
  const rows = [['reservation', reservations] as const, ...times, ['all facts', all] as const]
  report.table(
    ['what', 'times', 'half', '95 of 100', 'longest'],
    rows.map(([name, list]) => [
      name,
      list.length,
      ...[0.5, 0.95, 1].map((share) => milliseconds(percentile(list, share))),
    ]),
  )
  const ratio = percentile(all, 0.95) / percentile(reservations, 0.5)
  report.goal('95 of 100 facts for a reservation', ratio, 10, (value) => value.toFixed(2))
}

async function timed<Result>(ask: () => Promise<Result>): Promise<{ ms: number; result: Result }> {
  const began = performance.now()
  const result = await ask()
  return { ms: performance.now() - began, result }
}
