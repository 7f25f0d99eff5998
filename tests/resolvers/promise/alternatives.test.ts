// What else could be had: every alternative to many questions about the demo is what it says it is, and can be had.
import { expect, test } from 'vitest'
import { demoScenario } from '../../../seeds/demo.ts'
import { randomFrom } from '../../../seeds/random.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { addDays, dayWords } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { saveSetup } from '../../../src/records/save-setup.ts'
import { Snapshots } from '../../../src/records/snapshots.ts'
import { CommandExecutor } from '../../../src/resolvers/commands/executor.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { MOST_LINES } from '../../../src/resolvers/orders/shapes.ts'
import type { PlanningActor } from '../../../src/resolvers/planning-actor.ts'
import type { Alternative } from '../../../src/resolvers/promise/alternative.ts'
import { MOST_ALTERNATIVES } from '../../../src/resolvers/promise/alternatives.ts'
import { type Offer, readOffer } from '../../../src/resolvers/promise/offer-token.ts'
import { type PromiseAnswer, promise } from '../../../src/resolvers/promise/promise.ts'
import { ALTERNATIVE_KINDS } from '../../../src/resolvers/promise/promise-question.ts'
import { openTestDatabase } from '../../support/database.ts'
import { testJobs } from '../../support/jobs.ts'
import { DEMO_ID } from '../../support/planned-demo.ts'

// The demo with its stock and batches, before anybody has ordered anything.
const { client, clock } = await openTestDatabase()
const demo = demoScenario('2027-03-01')
const bare = { ...demo.problem, orderLines: [] }
const problem: Problem = { ...bare, baseline: makePlan(bare, { steps: 0 }).plan }
const names = { ...demo.names, orderLines: {}, orders: {} }
await client.$transaction((tx) => saveSetup(tx, DEMO_ID, { ...demo, names, problem }, clock.now()))
const services = {
  client,
  clock,
  onFault: (error: unknown) => {
    throw error
  },
}
const actor: PlanningActor = {
  ...services,
  distributorId: DEMO_ID,
  snapshots: new Snapshots(),
  executor: new CommandExecutor(),
  jobs: testJobs(services),
}
const revision = async () => (await client.distributor.findUniqueOrThrow({ where: { id: DEMO_ID } })).revision
const { offerKey } = await client.distributor.findUniqueOrThrow({ where: { id: actor.distributorId } })
const packs = new Map(
  problem.beers.flatMap((beer) =>
    beer.packs.map((pack) => {
      const container = problem.containerTypes.find(({ id }) => id === pack.containerTypeId)
      return [pack.id, { beer, litres: container?.nominalLitres ?? 0, containerTypeId: pack.containerTypeId }] as const
    }),
  ),
)
const read = (token: string): Offer => readOffer({ distributorId: actor.distributorId, offerKey }, clock.now(), token)
const globalId = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })

/** Asks for lines of an offer once more, each no later than it was offered. */
const again = ({ accountId, lines }: Pick<Offer, 'accountId' | 'lines'>) =>
  promise(actor, {
    account: globalId('Account', accountId),
    lines: lines.map(({ packId, quantity, serveOn, offeredOn, splittable }) => ({
      pack: globalId('Pack', packId),
      ...{ quantity, serveOn, latestServeOn: offeredOn, splittable },
    })),
  })

interface Asked {
  accountId: string
  serveOn: string
  lines: { packId: string; quantity: number }[]
}

const ask = ({ accountId, serveOn, lines }: Asked, day = serveOn) =>
  promise(actor, {
    account: globalId('Account', accountId),
    serveOn: day,
    lines: lines.map(({ packId, quantity }) => ({ pack: globalId('Pack', packId), quantity })),
  })

const random = randomFrom(4)
const soon = addDays(problem.today, 4)
const accountOn = (route: string) => problem.accounts.find(({ routeIds }) => routeIds[0] === route)?.id ?? ''
const onTown = accountOn('town-dray')
const onHills = accountOn('hill-van')
const one = (packId: string, quantity: number, serveOn = soon, accountId = onTown): Asked => {
  return { accountId, serveOn, lines: [{ packId, quantity }] }
}
const QUESTIONS: Asked[] = [
  // More kilderkins or pins than there are, while firkins are in stock.
  ...[2, 3, 4, 6].map((quantity) => one('copperplate-kilderkin', quantity)),
  ...[2, 4, 7, 8].map((quantity) => one('foolscap-pin', quantity)),
  { ...one('', 0), lines: [...one('foolscap-pin', 5).lines, ...one('copperplate-kilderkin', 3).lines] },
  // One pale ale is sold out, there is another.
  ...[8, 14, 20].map((quantity) => one('foolscap-firkin', quantity)),
  // A van that comes on Tuesdays only.
  ...[6, 7, 8].map((days) => one('copperplate-firkin', 1, addDays(problem.today, days), onHills)),
  ...['copperplate-firkin', 'dog-ear-firkin', 'night-post-firkin'].flatMap((packId) =>
    [15, 30, 60, 90, 900].map((quantity) => one(packId, quantity, addDays(problem.today, 8))),
  ),
  ...Array.from({ length: 25 }, () => ({
    accountId: random.pick(problem.accounts).id,
    serveOn: addDays(problem.today, random.int(2, 25)),
    lines: Array.from({ length: random.int(1, 2) }, () => ({
      packId: random.pick([...packs.keys()]),
      quantity: random.pick([1, 4, 12, 40]),
    })),
  })),
]
await placeOrder(actor, {
  account: globalId('Account', onTown),
  ...{ serveOn: soon, accept: 'ON_TIME_ONLY' },
  lines: [{ pack: globalId('Pack', 'foolscap-firkin'), quantity: 18 }],
})

const answers: { asked: Asked; answer: PromiseAnswer; alternatives: Alternative[] }[] = []
for (const asked of QUESTIONS) {
  const answer = await ask(asked)
  answers.push({ asked, answer, alternatives: await answer.alternatives() })
}
const all = answers.flatMap(({ asked, answer, alternatives }) => alternatives.map((each) => ({ asked, answer, each })))
const of = (...kinds: Alternative['kind'][]) => all.filter(({ each }) => kinds.includes(each.kind))

const litres = (lines: readonly { packId: string; quantity: number }[]) =>
  lines.reduce((sum, { packId, quantity }) => sum + quantity * (packs.get(packId)?.litres ?? 0), 0)

test('what is on time has no alternatives, and what is late has a handful at most', () => {
  for (const { answer, alternatives } of answers) {
    if (answer.allOnTime) expect(alternatives).toEqual([])
    expect(alternatives.length).toBeLessThanOrEqual(MOST_ALTERNATIVES)
  }
})

test('every kind of alternative is found for some question', () => {
  expect([...new Set(all.map(({ each }) => each.kind))].sort()).toEqual([...ALTERNATIVE_KINDS].sort())
})

test('what comes in parts is described with the day of each part', () => {
  const parts = of('FEWER_NOW')
  expect(parts.length).toBeGreaterThan(0)
  for (const { each, asked } of parts) {
    const days = new Set(each.lines.map(({ serveOn }) => serveOn))
    expect(days.size).toBeGreaterThan(1)
    expect(each.message).toContain(dayWords(each.serveOn))
    expect(each.message, 'the wanted day').toContain(dayWords(asked.serveOn))
    // Derived by hand from the shape of the sentence: every part ends with its own day.
    for (const part of (each.message.split(': ')[1] ?? '').split('; '))
      expect(part).toMatch(/ on \w+day \d{1,2} \w+ \d{4}\.?$/)
  }
})

test('every alternative, asked for by what its token says, is had by the day that it shows', async () => {
  for (const { asked, each } of all) {
    const offer = read(each.offerToken)
    expect(offer.accountId).toBe(asked.accountId)
    expect(offer.lines.map(({ packId, quantity, offeredOn }) => ({ packId, quantity, offeredOn }))).toEqual(
      each.lines.map(({ packId, quantity, serveOn }) => ({ packId, quantity, offeredOn: serveOn })),
    )
    const { offerToken, earliestServeOn } = await again(offer)
    expect(offerToken, each.message).not.toBeNull()
    expect(earliestServeOn).toBe(each.serveOn)
    expect(each.message).toMatch(/^[A-Z].*\.$/)
    expect(each.message).not.toMatch(/undefined|null|the same pack/)
  }
})

test('other containers hold as much of the same beers, and are on time', () => {
  for (const { asked, each } of of('OTHER_CONTAINERS')) {
    expect(Math.abs(litres(each.lines) - litres(asked.lines))).toBeLessThanOrEqual(0.02 * litres(asked.lines) + 1e-9)
    const beers = (lines: readonly { packId: string }[]) =>
      new Set(lines.map(({ packId }) => packs.get(packId)?.beer.id))
    expect(beers(each.lines)).toEqual(beers(asked.lines))
    expect(each.serveOn).toBe(asked.serveOn)
  }
})

test('a similar beer is of the same style, in the same containers, and on time', () => {
  for (const { asked, each } of of('SIMILAR_BEER')) {
    const look = (lines: readonly { packId: string; quantity: number }[]) =>
      lines.map(({ packId, quantity }) => [packs.get(packId)?.beer.style, packs.get(packId)?.containerTypeId, quantity])
    expect(look(each.lines)).toEqual(look(asked.lines))
    expect(each.serveOn).toBe(asked.serveOn)
  }
})

test('another day is the nearest on which all is on time', async () => {
  for (const { asked, each } of of('EARLIER_DAY', 'LATER_DAY')) {
    const step = each.kind === 'EARLIER_DAY' ? -1 : 1
    expect(Math.sign(each.serveOn < asked.serveOn ? -1 : 1)).toBe(step)
    expect((await ask(asked, each.serveOn)).allOnTime).toBe(true)
    for (let day = addDays(asked.serveOn, step); day !== each.serveOn; day = addDays(day, step))
      expect((await ask(asked, day)).allOnTime, `${day} is nearer than ${each.serveOn}`).toBe(false)
  }
})

test('fewer now and the rest later are as many in all, and the first are on time', () => {
  for (const { asked, each } of of('FEWER_NOW')) {
    expect(litres(each.lines)).toBeCloseTo(litres(asked.lines), 6)
    expect(each.lines.some(({ onTime }) => onTime)).toBe(true)
  }
  for (const { asked, answer, each } of of('FEWER')) {
    expect(answer.earliestServeOn).toBeNull()
    expect(litres(each.lines)).toBeLessThan(litres(asked.lines))
    expect(each.serveOn).toBe(asked.serveOn)
  }
})

test('two deliveries bring all of it sooner than one', () => {
  for (const { answer, each } of of('TWO_DELIVERIES'))
    expect(answer.earliestServeOn === null || each.serveOn < answer.earliestServeOn).toBe(true)
})

test('a question of very many late lines is answered too, with orders that are not too long', async () => {
  const lines = Array.from({ length: MOST_LINES }, (_, index) => ({
    packId: [...packs.keys()][index % packs.size]!,
    quantity: 9,
  }))
  const answer = await ask({ accountId: onTown, serveOn: soon, lines })
  expect(answer.allOnTime).toBe(false)
  const alternatives = await answer.alternatives()
  for (const { lines } of alternatives) expect(lines.length).toBeLessThanOrEqual(MOST_LINES)
})

test('who asks for the earliest day, and gets one, is offered nothing else', async () => {
  const { accountId, lines } = QUESTIONS[0]!
  const answer = await promise(actor, {
    account: globalId('Account', accountId),
    lines: lines.map(({ packId }) => ({ pack: globalId('Pack', packId), quantity: 1 })),
  })
  expect(answer.offerToken).not.toBeNull()
  expect(await answer.alternatives()).toEqual([])
})

test('a late line says what limits it, also when it is asked much later, and nothing was written', async () => {
  const before = await revision()
  const late = answers.find(({ answer }) => !answer.allOnTime)
  expect(late?.answer.lines.flatMap(({ limits }) => limits()).length).toBeGreaterThan(0)
  for (const line of answers.find(({ answer }) => answer.allOnTime)?.answer.lines ?? [])
    expect(line.limits()).toEqual([])
  expect(await revision()).toBe(before)
})
