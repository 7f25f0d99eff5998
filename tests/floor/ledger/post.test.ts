import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomHistory } from '../../../seeds/random-facts.ts'
import type { Fact } from '../../../src/floor/facts/fact.ts'
import { ledgerFaults } from '../../../src/floor/ledger/identity.ts'
import { MemoryLedger } from '../../support/memory-ledger.ts'
import { sampledNumbers } from '../../support/sampled.ts'

const FLEET = { siteId: 'site', typeId: 'firkin' }
let recorded = 0
const on = (day: string) => ({ id: `f${++recorded}`, siteId: 'site', day, recorded, assumed: false })
const washed = (day: string, quantity: number): Fact => ({ ...on(day), kind: 'WASHED', data: { ...FLEET, quantity } })
const returned = (day: string, quantity: number): Fact => ({
  ...on(day),
  kind: 'RETURNED',
  data: { accountId: 'inn', ...FLEET, quantity, unfit: 0 },
})
const counted = (day: string, quantity: number): Fact => ({
  ...on(day),
  kind: 'FLEET_COUNTED',
  data: { ...FLEET, quantity },
})

describe('what settles a place', () => {
  test('what leaves a place that did not have it was found there, and is not once it is known where it came from', () => {
    const ledger = new MemoryLedger()
    ledger.record([washed('2027-02-02', 5)])
    expect(ledger.balances()).toEqual({ FOUND: -5, 'CLEAN|site|firkin': 5 })
    ledger.record([returned('2027-02-01', 5)])
    // The return of an account that had none is what was found now.
    expect(ledger.balances()).toEqual({ FOUND: -5, 'CLEAN|site|firkin': 5 })
    expect(ledger.entries.filter(({ settles, reverses }) => settles && !reverses).map(({ to }) => to)).toEqual([
      'DIRTY|site|firkin',
      'AT_ACCOUNT|inn|site|firkin',
    ])
  })

  test('a count outranks what came before it and not what comes after', () => {
    const ledger = new MemoryLedger()
    ledger.record([returned('2027-02-01', 5), washed('2027-02-01', 5), counted('2027-02-02', 3)])
    expect(ledger.balances()).toMatchObject({ 'CLEAN|site|firkin': 3, LOST: 2 })
    ledger.record([returned('2027-02-01', 4), washed('2027-02-01', 4)])
    expect(ledger.balances()).toMatchObject({ 'CLEAN|site|firkin': 3, LOST: 6 })
    ledger.record([returned('2027-02-03', 4), washed('2027-02-03', 4)])
    expect(ledger.balances()).toMatchObject({ 'CLEAN|site|firkin': 7, LOST: 6 })
  })

  test('a correction of a closed period is posted on the first open day and names the entry that it takes back', () => {
    const ledger = new MemoryLedger()
    const fact = washed('2027-02-01', 5)
    ledger.record([returned('2027-02-01', 5), fact])
    ledger.close('2027-02-28', '2027-03-01')
    ledger.record([washed('2027-02-01', 4)], [fact.id])
    const late = ledger.entries.filter(({ revision }) => revision === 2)
    expect(late.map(({ day }) => day)).toEqual(late.map(() => '2027-03-01'))
    expect(late[0]?.reverses).toEqual({ revision: 1, n: 2 })
    expect(ledger.balances()).toMatchObject({ 'CLEAN|site|firkin': 4, 'DIRTY|site|firkin': 1 })
  })
})

describe('random histories with corrections and facts that come late', () => {
  test.each(sampledNumbers(1, 10_000, 100))(
    'history %i: the ledger balances at every point, and ends as if all had been said at once',
    (seed) => {
      const ledger = new MemoryLedger()
      const effective = new Map<string, Fact>()
      const history = randomHistory(randomFrom(seed), 40)
      for (const { fact, gone } of history) {
        ledger.record(fact ? [fact] : [], gone)
        for (const id of gone) effective.delete(id)
        if (fact) effective.set(fact.id, fact)
        expect(ledgerFaults(ledger.entries)).toEqual([])
      }
      const atOnce = new MemoryLedger()
      atOnce.record([...effective.values()])
      expect(ledger.balances()).toEqual(atOnce.balances())
    },
  )

  test.each(sampledNumbers(1, 1_000, 20))(
    'history %i with a closed period: nothing changes in it, and no place is overdrawn',
    (seed) => {
      const random = randomFrom(seed)
      const ledger = new MemoryLedger()
      const history = randomHistory(random, 60)
      let closedEntries = ''
      const ofClosed = () => JSON.stringify(ledger.entries.filter(({ day }) => day <= '2027-02-03'))
      for (const [index, { fact, gone }] of history.entries()) {
        if (index === 40) {
          ledger.close('2027-02-03', '2027-02-04')
          closedEntries = ofClosed()
        }
        ledger.record(fact ? [fact] : [], gone)
        expect(ledgerFaults(ledger.entries)).toEqual([])
      }
      expect(ofClosed()).toBe(closedEntries)
    },
  )
})
