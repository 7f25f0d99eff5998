import { expect, test } from 'vitest'
import type { Plan, Reason } from '../../../src/planner/documents/index.ts'
import { comparePlans } from '../../../src/resolvers/plans/compare-plans.ts'
import { EMPTY_PLAN } from '../../support/empty-plan.ts'

const brew = { id: 'brew-1', beerId: 'bitter', vesselId: 'FV1', brewOn: '2027-03-03', litres: 2000 }
const run = { id: 'run-1', batchId: 'brew-1', fillerId: 'rack', on: '2027-03-12', packId: 'firkin', quantity: 40 }
const other: Plan = { ...EMPTY_PLAN, brews: [brew], fillRuns: [run] }

test('a brew that the planner moved under a new id is listed as moved, with its fills, from where to where and why', () => {
  const moved = { ...brew, id: 'brew-9', vesselId: 'FV2', brewOn: '2027-03-05' }
  const late: Reason = { rule: 'V3', code: 'VESSEL_OUT_OF_SERVICE' }
  const plan: Plan = {
    ...EMPTY_PLAN,
    brews: [moved],
    fillRuns: [{ ...run, id: 'run-9', batchId: 'brew-9', on: '2027-03-14' }],
    moved: [{ kind: 'BREW', id: 'brew-1', reasons: [late] }],
  }
  const differences = comparePlans(plan, other)
  expect(differences).toMatchObject({ added: [], dropped: [] })
  expect(differences.moved).toMatchObject([
    {
      kind: 'BREW',
      id: 'brew-9',
      changed: ['DAY', 'VESSEL'],
      before: { on: '2027-03-03', vesselId: 'FV1', amount: 2000 },
      after: { on: '2027-03-05', vesselId: 'FV2', amount: 2000 },
      reasons: [late],
    },
    {
      kind: 'FILL_RUN',
      id: 'run-9',
      changed: ['DAY', 'BATCH'],
      before: { on: '2027-03-12' },
      after: { isPlanned: true },
    },
  ])
})

test('a brew of another beer, or weeks away, is a new one beside one that is gone', () => {
  for (const change of [{ beerId: 'stout' }, { brewOn: '2027-03-18' }]) {
    const { added, dropped, moved } = comparePlans(
      { ...EMPTY_PLAN, brews: [{ ...brew, id: 'brew-9', ...change }] },
      { ...other, fillRuns: [] },
    )
    expect(added).toMatchObject([{ id: 'brew-9', before: null, changed: [] }])
    expect(dropped).toMatchObject([{ id: 'brew-1', after: null, changed: [] }])
    expect(moved).toEqual([])
  }
})

test('each decision moves to the nearest, and no two to one', () => {
  const second = { ...run, id: 'run-2', on: '2027-03-15' }
  const plan: Plan = { ...other, fillRuns: [{ ...run, id: 'run-9', on: '2027-03-16' }] }
  const { dropped, moved, added } = comparePlans(plan, { ...other, fillRuns: [run, second] })
  expect(moved).toMatchObject([{ before: { id: 'run-2' }, after: { id: 'run-9' } }])
  expect(dropped).toMatchObject([{ id: 'run-1' }])
  expect(added).toEqual([])
})

test('another amount alone is listed; what is the same is not', () => {
  const more = { ...run, quantity: 44 }
  expect(comparePlans({ ...other, fillRuns: [more] }, other).moved).toMatchObject([
    { id: 'run-1', changed: ['AMOUNT'] },
  ])
  expect(comparePlans(other, other)).toEqual({ added: [], moved: [], dropped: [], lines: [] })
})

test('order lines that are served on another day, less or not at all are listed', () => {
  const deliver = (orderLineId: string, serveOn: string, quantity: number) => ({
    ...{ orderLineId, serveOn, routeId: 'town', dispatchOn: serveOn },
    from: [{ fillRunId: 'run-1', quantity }],
  })
  const before = {
    ...other,
    deliveries: [deliver('a', '2027-03-20', 4), deliver('b', '2027-03-20', 4), deliver('c', '2027-03-20', 4)],
  }
  const after = { ...other, deliveries: [deliver('a', '2027-03-22', 4), deliver('c', '2027-03-20', 4)] }
  expect(comparePlans(after, before).lines).toEqual([
    { orderLineId: 'a', before: { quantity: 4, serveOn: '2027-03-20' }, after: { quantity: 4, serveOn: '2027-03-22' } },
    { orderLineId: 'b', before: { quantity: 4, serveOn: '2027-03-20' }, after: { quantity: 0, serveOn: null } },
  ])
})

test('a line that two plans serve by one delivery in common, and one of them by another besides, is listed with all of it', () => {
  const deliver = (serveOn: string) => ({
    ...{ orderLineId: 'a', serveOn, routeId: 'town', dispatchOn: serveOn },
    from: [{ fillRunId: 'run-1', quantity: 4 }],
  })
  const first = deliver('2027-03-20')
  const before = { ...other, deliveries: [first] }
  const after = { ...other, deliveries: [first, deliver('2027-03-22')] }
  expect(comparePlans(after, before)).toEqual({
    ...{ added: [], moved: [], dropped: [] },
    lines: [
      {
        orderLineId: 'a',
        before: { quantity: 4, serveOn: '2027-03-20' },
        after: { quantity: 8, serveOn: '2027-03-22' },
      },
    ],
  })
})
