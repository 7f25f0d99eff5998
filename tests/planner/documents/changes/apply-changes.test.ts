import { describe, expect, test } from 'vitest'
import { sizedProblem } from '../../../../seeds/sized-problem.ts'
import { applyChanges } from '../../../../src/planner/documents/changes/apply-changes.ts'
import type { ProblemChange } from '../../../../src/planner/documents/changes/problem-change.ts'
import type { Problem } from '../../../../src/planner/documents/index.ts'
import { addDays } from '../../../../src/planner/documents/index.ts'
import { checkPlan, makePlan, parseProblem } from '../../../../src/planner/index.ts'

const problem = sizedProblem({ lines: 20, vessels: 6, days: 35, seed: 2 })
const { today } = problem
const [vessel] = problem.vessels
const [filler] = problem.fillers
const [fleet] = problem.fleets
const [route] = problem.routes
const [account] = problem.accounts
const [site] = problem.sites
const [line] = problem.orderLines
if (!vessel || !filler || !fleet || !route || !account || !site || !line) throw new Error('the problem has one of each')
const ofType = { siteId: fleet.siteId, containerTypeId: fleet.containerTypeId }

const changes: [string, ProblemChange][] = [
  ['without a vessel', { kind: 'VESSEL', vesselId: vessel.id }],
  ['without a filler', { kind: 'FILLER', fillerId: filler.id }],
  ['without a day', { kind: 'DAY', day: addDays(today, 1) }],
  ['more vessels', { kind: 'MORE_VESSELS', likeId: vessel.id, count: 2, capacityLitres: 100 }],
  ['a vessel out', { kind: 'VESSEL_OUT', vesselId: vessel.id, from: today, to: addDays(today, 3) }],
  ['another filler', { kind: 'ANOTHER_FILLER', likeId: filler.id }],
  ['more minutes', { kind: 'FILLER_MINUTES', fillerId: filler.id, minutes: 60 }],
  ['more containers', { kind: 'CONTAINERS', ...ofType, quantity: 50, by: addDays(today, 2) }],
  ['fewer containers', { kind: 'CONTAINERS', ...ofType, quantity: -1_000_000 }],
  ['a route', { kind: 'ROUTE', routeId: route.id, weekdays: [1, 4] }],
  ['an account', { kind: 'ACCOUNT', accountId: account.id, receivesWeekdays: [3] }],
  ['a site', { kind: 'SITE', siteId: site.id, brewsPerDay: 9 }],
  ['an order line', { kind: 'ORDER_LINE', line: { ...line, promisedOn: undefined } }],
]

describe.each(changes)('%s', (_, change) => {
  const changed = applyChanges(problem, [change])

  test('gives a problem that can be planned, another than before, and leaves that one as it was', () => {
    const before = JSON.stringify(problem)
    expect(changed).not.toEqual(problem)
    const parsed = parseProblem(JSON.parse(JSON.stringify(changed)))
    expect(parsed).toMatchObject({ ok: true })
    const { plan } = makePlan(changed, { steps: 5 })
    expect(checkPlan(changed, plan).violations).toEqual([])
    expect(JSON.stringify(problem)).toBe(before)
  })
})

describe('a plan that is made without something', () => {
  const { plan: whole } = makePlan(problem, { steps: 20 })

  test('uses no vessel that is left out, and is valid for the problem that has it', () => {
    const used = whole.brews[0]?.vesselId ?? ''
    const { plan } = makePlan(applyChanges(problem, [{ kind: 'VESSEL', vesselId: used }]), { steps: 20 })
    expect(whole.brews.some(({ vesselId }) => vesselId === used)).toBe(true)
    expect([
      ...plan.brews.map(({ vesselId }) => vesselId),
      ...plan.transfers.map((each) => each.toVesselId),
    ]).not.toContain(used)
    expect(checkPlan(problem, plan).violations).toEqual([])
  })

  test('uses no filler that is left out, and is valid for the problem that has it', () => {
    const used = whole.fillRuns[0]?.fillerId ?? ''
    const { plan } = makePlan(applyChanges(problem, [{ kind: 'FILLER', fillerId: used }]), { steps: 20 })
    expect(plan.fillRuns.map(({ fillerId }) => fillerId)).not.toContain(used)
    expect(checkPlan(problem, plan).violations).toEqual([])
  })

  test('does nothing on a day that is left out, and is valid for the problem that has it', () => {
    const day = whole.fillRuns.map(({ on }) => on).find((on) => on > addDays(today, 2)) ?? ''
    const { plan } = makePlan(applyChanges(problem, [{ kind: 'DAY', day }]), { steps: 20 })
    const days = [
      ...plan.brews.map(({ brewOn }) => brewOn),
      ...plan.fillRuns.map(({ on }) => on),
      ...plan.deliveries.map(({ dispatchOn }) => dispatchOn),
    ]
    expect(days).not.toContain(day)
    expect(checkPlan(problem, plan).violations).toEqual([])
  })
})

test('minutes are added to every day on which the filler works, and to no other', () => {
  const on = { [addDays(today, 1)]: 0, [addDays(today, 2)]: 30 }
  const given: Problem = { ...problem, fillers: [{ ...filler, minutesPerDay: 100, minutesOn: on }] }
  const changed = applyChanges(given, [{ kind: 'FILLER_MINUTES', fillerId: filler.id, minutes: -40 }])
  expect(changed.fillers[0]).toMatchObject({
    minutesPerDay: 60,
    minutesOn: { [addDays(today, 1)]: 0, [addDays(today, 2)]: 0 },
  })
})

test('containers that are fewer are missing from those that are clean first', () => {
  const returns = [{ on: addDays(today, 3), quantity: 5 }]
  const given: Problem = { ...problem, fleets: [{ ...fleet, cleanNow: 10, returns }] }
  const changed = applyChanges(given, [{ kind: 'CONTAINERS', ...ofType, quantity: -12 }])
  expect(changed.fleets[0]).toMatchObject({ cleanNow: 0, returns: [{ on: addDays(today, 3), quantity: 3 }] })
})
