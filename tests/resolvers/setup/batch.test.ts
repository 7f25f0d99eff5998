// What a batch in a vessel can be: honest entries at the limits are taken, one step further is refused.
import { describe, expect, it } from 'vitest'
import { batchFaults, orderFaults } from '../../../src/resolvers/setup/batch-faults.ts'

const PLACE = {
  name: 'Oak 1',
  kind: 'FERMENTER',
  capacityLitres: 3600,
  timeZone: 'Pacific/Auckland',
  today: '2027-03-01',
} as const
const GIVEN = { litres: 3600, readyAt: '2027-02-20T12:00:00Z' }

const codes = (given: Partial<Parameters<typeof batchFaults>[0]>) =>
  batchFaults({ ...GIVEN, ...given }, PLACE).map(([, { path, code }]) => `${path} ${code}`)
const inOrder = (given: Partial<Parameters<typeof orderFaults>[0]>) =>
  orderFaults({ ...GIVEN, ...given }, PLACE).map(([, { path, code }]) => `${path} ${code}`)

describe('a batch', () => {
  it('may fill its vessel, and no more', () => {
    expect(codes({})).toEqual([])
    expect(codes({ litres: 3600.001 })).toEqual(['litres MORE_THAN_VESSEL_HOLDS'])
  })

  it('may have aged for three years, and be ready in 400 days', () => {
    expect(codes({ brewedOn: '2024-03-01', readyAt: '2024-05-01T00:00:00Z' })).toEqual([])
    expect(codes({ readyAt: '2028-04-03T00:00:00Z' })).toEqual([])
    expect(codes({ brewedOn: '2023-02-01' })).toEqual(['brewedOn DAY_OUT_OF_REACH'])
    expect(codes({ readyAt: '2028-04-06T00:00:00Z' })).toEqual(['readyAt DAY_OUT_OF_REACH'])
  })

  it('may be brewed on the day on which it is ready, by the clock of its site', () => {
    // Half past noon in London is after midnight in Auckland.
    expect(inOrder({ brewedOn: '2027-02-21', readyAt: '2027-02-20T12:30:00Z' })).toEqual([])
    expect(inOrder({ brewedOn: '2027-02-22', readyAt: '2027-02-20T12:30:00Z' })).toEqual([
      'brewedOn BREWED_AFTER_READY',
    ])
  })

  it('was brewed before it was transferred, opened or emptied', () => {
    const day = { brewedOn: '2027-02-10' }
    expect(inOrder({ ...day, transferredOn: '2027-02-10', openedOn: '2027-02-10', emptiedOn: '2027-02-10' })).toEqual(
      [],
    )
    expect(inOrder({ ...day, transferredOn: '2027-02-09', openedOn: '2027-02-09', emptiedOn: '2027-02-09' })).toEqual([
      'transferredOn BEFORE_BREWED',
      'openedOn BEFORE_BREWED',
      'emptiedOn BEFORE_BREWED',
    ])
  })
})
