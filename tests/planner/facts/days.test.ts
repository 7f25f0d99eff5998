// What follows from a plan day by day, against sums made for one day at a time from the documents alone.
import { expect, it } from 'vitest'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { addDays, type LocalDate, type Plan, type Problem } from '../../../src/planner/documents/index.ts'
import { deriveFacts, type Facts } from '../../../src/planner/facts/facts.ts'
import { fleetDays } from '../../../src/planner/facts/fleet-days.ts'
import { routeDays } from '../../../src/planner/facts/route-days.ts'
import { storeDays } from '../../../src/planner/facts/store-days.ts'
import { freeFrom, isOutOfService, lastDay, staysByVessel } from '../../../src/planner/facts/vessel-stays.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { LONG } from '../../support/sampled.ts'

const cases = Array.from({ length: LONG ? 200 : 40 }, (_, seed) => {
  const problem = randomProblem(seed)
  const { plan } = makePlan(problem, { steps: 20 })
  return { problem, plan, facts: deriveFacts(problem, plan) }
})

/** All containers as the documents list them: those that a delivery takes, and those that stay. */
function groups({ problem, plan }: { problem: Problem; plan: Plan }) {
  const packs = new Map(problem.beers.flatMap((beer) => beer.packs.map((pack) => [pack.id, pack])))
  const siteOfFiller = new Map(problem.fillers.map(({ id, siteId }) => [id, siteId]))
  const accountOfLine = new Map(problem.orderLines.map(({ id, accountId }) => [id, accountId]))
  const returnDays = new Map(problem.accounts.map((account) => [account.id, account.returnDays]))
  const end = addDays(problem.today, problem.horizonDays)
  const sources = [
    ...plan.fillRuns.map(({ id, fillerId, packId, on, quantity }) => {
      const pack = packs.get(packId)!
      const [fit, best] = [addDays(on, pack.conditioningDays), addDays(on, pack.shelfLifeDays)]
      return { run: id, lot: undefined, siteId: siteOfFiller.get(fillerId)!, pack, from: on, fit, best, quantity }
    }),
    ...problem.stock.map(({ id, siteId, packId, readyOn, bestBefore, quantity }) => {
      const pack = packs.get(packId)!
      return { run: undefined, lot: id, siteId, pack, from: problem.today, fit: readyOn, best: bestBefore, quantity }
    }),
  ]
  return sources.flatMap((source) => {
    const taken = plan.deliveries.flatMap(({ orderLineId, dispatchOn, serveOn, from }) =>
      from
        .filter(({ fillRunId, stockLotId }) => fillRunId === source.run && stockLotId === source.lot)
        .map(({ quantity }) => {
          const days = returnDays.get(accountOfLine.get(orderLineId)!)
          return {
            ...source,
            quantity,
            until: dispatchOn,
            back: days === undefined ? undefined : addDays(serveOn, days),
          }
        }),
    )
    const left = source.quantity - taken.reduce((sum, { quantity }) => sum + quantity, 0)
    const [, gone] = [addDays(source.best, 1), problem.today].sort()
    const [until] = [gone!, end].sort()
    const rest = { ...source, quantity: left, until: until!, back: gone! < end ? gone : undefined }
    return [...taken, rest]
  })
}

const daysOf = ({ problem }: Facts) =>
  Array.from({ length: problem.horizonDays }, (_, day) => addDays(problem.today, day))

const sum = <Item>(items: readonly Item[], of: (item: Item) => number) =>
  items.reduce((total, item) => total + of(item), 0)

it('has the litres in each store on each day: conditioning where the pack conditions, in the cold afterwards (S1)', () => {
  let seen = 0
  for (const { problem, plan, facts } of cases) {
    const all = groups({ problem, plan })
    const litresOf = new Map(problem.containerTypes.map(({ id, nominalLitres }) => [id, nominalLitres]))
    for (const { store, litres } of storeDays(facts))
      for (const [index, day] of daysOf(facts).entries()) {
        const here = all.filter(({ siteId, pack, from, fit, until }) => {
          const climate = day < fit ? pack.conditionIn : 'COLD'
          return siteId === store.siteId && climate === store.climate && from <= day && day < until
        })
        const wanted = sum(here, ({ quantity, pack }) => quantity * litresOf.get(pack.containerTypeId)!)
        expect(litres[index]).toBeCloseTo(wanted, 6)
        if (wanted > 0) seen += 1
      }
  }
  expect(seen).toBeGreaterThan(50)
})

it('has the clean containers of each fleet each morning: those of today and those that came back, less those filled (C1)', () => {
  let seen = 0
  for (const { problem, plan, facts } of cases) {
    const all = groups({ problem, plan })
    for (const { fleet, clean, filled } of fleetDays(facts)) {
      const ours = all.filter(
        ({ siteId, pack }) => siteId === fleet.siteId && pack.containerTypeId === fleet.containerTypeId,
      )
      const washed = (back: LocalDate) => addDays(back, fleet.washDays)
      for (const [index, day] of daysOf(facts).entries()) {
        const isBack = (back: LocalDate | undefined) =>
          back !== undefined && washed(back) > problem.today && washed(back) <= day
        const back =
          sum(fleet.returns, ({ on, quantity }) => (isBack(on) ? quantity : 0)) +
          sum(ours, (group) => (isBack(group.back) ? group.quantity : 0))
        const fills = (on: (from: LocalDate) => boolean) =>
          sum(ours, ({ run, from, quantity }) => (run !== undefined && on(from) ? quantity : 0))
        expect(clean[index]).toBe(fleet.cleanNow + back - fills((from) => from < day))
        expect(filled[index]).toBe(fills((from) => from === day))
        if (back > 0 && filled[index]! > 0) seen += 1
      }
    }
  }
  expect(seen).toBeGreaterThan(10)
})

it('has a day of a route for each day on which deliveries leave on it, with all their containers (D1)', () => {
  for (const { plan, facts } of cases) {
    const wanted = new Map<string, number>()
    for (const { routeId, dispatchOn, from } of plan.deliveries) {
      const key = `${routeId} ${dispatchOn}`
      wanted.set(key, (wanted.get(key) ?? 0) + sum(from, ({ quantity }) => quantity))
    }
    const days = routeDays(facts).map(({ route, day, containers }) => [`${route.id} ${facts.dateOf(day)}`, containers])
    expect(days).toEqual([...wanted])
  }
})

it('has the stays of a vessel one after the other, each after the cleaning that follows the one before (V3)', () => {
  let seen = 0
  for (const { facts } of cases)
    for (const [vesselId, stays] of staysByVessel(facts.batches))
      for (const [index, stay] of stays.entries()) {
        expect(stay.vessel.id).toBe(vesselId)
        if (stay.planned) expect(isOutOfService(facts, stay.vessel, stay.enters)).toBe(false)
        const before = stays[index - 1]
        if (!before) continue
        expect(freeFrom(before)).toBe(lastDay(before) + before.vessel.turnaroundDays + 1)
        expect(stay.enters).toBeGreaterThanOrEqual(freeFrom(before))
        seen += 1
      }
  expect(seen).toBeGreaterThan(10)
})
