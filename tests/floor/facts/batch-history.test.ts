import { describe, expect, test } from 'vitest'
import { batchState, isFermentationProven } from '../../../src/floor/facts/batch-history.ts'
import type { Fact, FactBase, Happened } from '../../../src/floor/facts/fact.ts'

let recorded = 0
function at(instant: string, happened: Happened): Fact {
  const base: FactBase = {
    id: `f${++recorded}`,
    siteId: 'site',
    day: instant.slice(0, 10),
    at: instant,
    recorded,
    assumed: false,
  }
  return { ...base, ...happened }
}
const reading = (instant: string, gravity: number) => at(instant, { kind: 'READING', data: { batchId: 'b', gravity } })
const instantOf = ({ at: instant = '' }: Fact) => new Date(instant)
const READINESS = { finalGravity: 1.01, above: 0.002, equalWithin: 0.0005, hoursAfterFermentation: 96 }
const START = { id: 'b', vesselId: 'fv', readyAt: '2027-02-10T08:00:00.000Z', primable: true, quarantined: false }
const stateAfter = (...facts: Fact[]) => batchState(START, facts, READINESS, instantOf)

describe('the ready day', () => {
  test('moves to a day and the stages after fermentation behind a reading above the limit', () => {
    expect(stateAfter(reading('2027-02-08T08:00:00Z', 1.013)).readyAt).toEqual('2027-02-13T08:00:00.000Z')
  })

  test('is moved by no reading at the limit, and by none earlier', () => {
    expect(stateAfter(reading('2027-02-08T08:00:00Z', 1.012)).readyAt).toEqual(START.readyAt)
    expect(stateAfter(reading('2027-02-01T08:00:00Z', 1.04)).readyAt).toEqual(START.readyAt)
  })

  test('is what a person says, whatever was read before', () => {
    const ready = at('2027-02-09T10:00:00Z', { kind: 'READY', data: { batchId: 'b' } })
    expect(stateAfter(ready, reading('2027-02-08T08:00:00Z', 1.02)).readyAt).toEqual('2027-02-09T10:00:00.000Z')
  })
})

describe('what a person says of readiness', () => {
  const ready = at('2027-02-09T10:00:00Z', { kind: 'READY', data: { batchId: 'b' } })

  test('outranks what is read later', () => {
    expect(stateAfter(ready, reading('2027-02-09T18:00:00Z', 1.02)).readyAt).toEqual('2027-02-09T10:00:00.000Z')
  })

  test('proves nothing for priming: that takes the gravities, before or after', () => {
    const gravities = [reading('2027-02-08T08:00:00Z', 1.011), reading('2027-02-09T08:00:00Z', 1.011)]
    expect(stateAfter(ready)).toMatchObject({ primable: false, proven: false })
    expect(stateAfter(ready, ...gravities)).toMatchObject({ primable: true, proven: true })
  })

  test('leaves a batch fit for priming that no one has said to be ready, or of which no gravity says when it ends', () => {
    expect(stateAfter()).toMatchObject({ primable: true, proven: false })
    const unsaid = { above: 0.002, equalWithin: 0.0005, hoursAfterFermentation: 96 }
    expect(batchState(START, [ready], unsaid, instantOf)).toMatchObject({ primable: true, proven: false })
  })
})

describe('fermentation', () => {
  // Common practice: the same gravity a day apart, near the expected end.
  const proven = (...facts: Fact[]) => isFermentationProven(facts, READINESS, instantOf)

  test('is proven by two gravities a day apart, equal within 0.0005 and near the end', () => {
    expect(proven(reading('2027-02-05T08:00:00Z', 1.011), reading('2027-02-06T08:00:00Z', 1.0105))).toBe(true)
    expect(proven(reading('2027-02-05T08:00:00Z', 1.0115), reading('2027-02-06T08:00:00Z', 1.0105))).toBe(false)
    expect(proven(reading('2027-02-05T08:00:00Z', 1.011), reading('2027-02-06T07:00:00Z', 1.011))).toBe(false)
    expect(proven(reading('2027-02-05T08:00:00Z', 1.015), reading('2027-02-06T08:00:00Z', 1.015))).toBe(false)
  })

  test('is not proven by gravities before dry hopping or after the crash began', () => {
    const [first, second] = [reading('2027-02-05T08:00:00Z', 1.011), reading('2027-02-06T08:00:00Z', 1.011)]
    const hopped = at('2027-02-05T12:00:00Z', { kind: 'DRY_HOPPED', data: { batchId: 'b' } })
    const crashed = at('2027-02-05T18:00:00Z', { kind: 'CRASH_BEGUN', data: { batchId: 'b' } })
    expect(proven(first, hopped, second)).toBe(false)
    expect(proven(first, crashed, second)).toBe(false)
    const ready = at('2027-02-05T12:00:00Z', { kind: 'READY', data: { batchId: 'b' } })
    expect(proven(ready)).toBe(false)
  })
})

test('a batch is where its facts left it, and its vessels were emptied on their days', () => {
  const moved = at('2027-02-11T09:00:00Z', {
    kind: 'TRANSFERRED',
    data: { batchId: 'b', fromVesselId: 'fv', toVesselId: 'bright' },
  })
  const fill = {
    ...{ batchId: 'b', packId: 'p', lotId: 'l', siteId: 'site', typeId: 'keg', quantity: 10, nominalMl: 30_000 },
    ...{ overfillMl: 0, spoiled: 0, setUpMl: 0, lostMl: 0, quarantined: false, from: 'BRIGHT' as const },
  }
  const first = at('2027-02-13T09:00:00Z', { kind: 'FILLED', data: { ...fill, emptied: false, more: false } })
  const last = at('2027-02-14T09:00:00Z', { kind: 'FILLED', data: { ...fill, emptied: true, more: false } })
  expect(stateAfter(last, first, moved)).toMatchObject({
    vesselId: 'bright',
    transferredOn: '2027-02-11',
    openedOn: '2027-02-13',
    emptiedOn: '2027-02-14',
    left: [
      { vesselId: 'fv', on: '2027-02-11' },
      { vesselId: 'bright', on: '2027-02-14' },
    ],
  })
})
