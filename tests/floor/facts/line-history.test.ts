// What the facts of an order line make of it, container by container.
import { describe, expect, test } from 'vitest'
import { type Random, randomFrom } from '../../../seeds/random.ts'
import { type Fact, happenedShape } from '../../../src/floor/facts/fact.ts'
import { heldOnRoad, lineState, saidToHaveLeft } from '../../../src/floor/facts/line-history.ts'
import { sampledNumbers } from '../../support/sampled.ts'

const LOTS = ['lot-a', 'lot-b']

/** A container of a lot that left for the line. */
interface Container {
  lotId: string
  where: 'ROAD' | 'ACCOUNT'
  called: boolean
}

/** A line to which containers are sent one fact after the other, as the API lets them be said; the containers are followed one by one. */
function follow(random: Random) {
  const facts: Fact[] = []
  const out: Container[] = []
  let closed = 0
  const say = (kind: string, data: object) => {
    const ids = { orderLineId: 'line', accountId: 'account' }
    const base = {
      id: `fact-${facts.length}`,
      siteId: 'site',
      day: '2027-03-01',
      recorded: facts.length,
      assumed: false,
    }
    facts.push({ ...base, ...happenedShape.parse({ kind, data: { ...ids, ...data } }) })
  }
  const fleet = { siteId: 'site', typeId: 'firkin' }
  for (let act = 0; act < 12; act++) {
    const lotId = random.pick(LOTS)
    const onRoad = out.filter((each) => each.lotId === lotId && each.where === 'ROAD')
    const free = out.filter((each) => each.lotId === lotId && !each.called)
    const again = random.chance(0.5)
    // What was called back comes back first, and arrives last.
    const byCalled = (first: boolean) => onRoad.sort((a, b) => Number(b.called === first) - Number(a.called === first))
    const some = (list: Container[]) => list.slice(0, random.int(1, Math.max(1, list.length)))
    const calledOf = (list: Container[]) => ({ recalled: list.filter(({ called }) => called).length })
    switch (random.pick(['DISPATCHED', 'DELIVERED', 'REFUSED', 'RECALLED'] as const)) {
      case 'DISPATCHED': {
        const quantity = random.int(1, 5)
        say('DISPATCHED', { ...fleet, routeId: 'route', serveOn: '2027-03-02', short: 0, lots: [{ lotId, quantity }] })
        for (let n = 0; n < quantity; n++) out.push({ lotId, where: 'ROAD', called: false })
        break
      }
      case 'DELIVERED': {
        const arriving = some(byCalled(false))
        if (arriving.length === 0) break
        say('DELIVERED', { ...fleet, lots: [{ lotId, quantity: arriving.length, ...calledOf(arriving) }] })
        for (const each of arriving) each.where = 'ACCOUNT'
        break
      }
      case 'REFUSED': {
        const back = some(byCalled(true))
        if (back.length === 0) break
        const lots = [{ lotId, quantity: back.length, ...calledOf(back) }]
        say('REFUSED', { ...fleet, lots, fit: false, again })
        if (!again) closed += back.filter(({ called }) => !called).length
        for (const each of back) out.splice(out.indexOf(each), 1)
        break
      }
      case 'RECALLED': {
        const called = some(free.sort((a, b) => Number(b.where === 'ROAD') - Number(a.where === 'ROAD')))
        if (called.length === 0) break
        const road = called.filter(({ where }) => where === 'ROAD').length
        say('RECALLED', { lots: [{ lotId, quantity: called.length, onRoad: road }], again })
        if (!again) closed += called.length
        for (const each of called) each.called = true
        break
      }
    }
  }
  return { facts, out, closed }
}

describe.each(sampledNumbers(1, 2_000, 100))('line %i', (seed) => {
  test('has been sent what is out and was not called back, whatever came back or arrived all the same', () => {
    const { facts, out, closed } = follow(randomFrom(seed))
    const sent = out.filter(({ called }) => !called)
    expect(lineState(facts)).toEqual({
      dispatched: sent.length,
      delivered: sent.filter(({ where }) => where === 'ACCOUNT').length,
      closedShort: closed,
      onRoad: out.filter(({ where }) => where === 'ROAD').length,
    })
    expect(saidToHaveLeft(facts)).toBe(sent.length)
    for (const [lotId, held] of heldOnRoad(facts))
      expect(held).toBe(out.filter((each) => each.lotId === lotId && each.called && each.where === 'ROAD').length)
  })
})
