// The parser of plans: faults of shape, of ids and of references into the problem, all at once.
import { describe, expect, it } from 'vitest'
import type { Plan, Reason } from '../../../src/planner/documents/index.ts'
import { parsePlan } from '../../../src/planner/index.ts'
import { basePlan } from '../base/base-plan.ts'
import { baseProblem, d } from '../base/base-problem.ts'

const why: Reason[] = [{ rule: 'V3', code: 'NO_VESSEL_FREE' }]

const FAULTS: [string, (plan: Plan) => unknown, string][] = [
  ['no total', (plan) => Reflect.deleteProperty(plan.cost, 'total'), 'cost.total MISSING_VALUE'],
  [
    'a term that does not exist',
    (plan) => Object.assign(plan.cost.terms, { water: 1 }),
    'cost.terms.water UNKNOWN_KEY',
  ],
  ['a dump of nothing', (plan) => Object.assign(plan.dumped[0]!, { litres: 0 }), 'dumped[0].litres OUT_OF_RANGE'],
  [
    'a quantity of zero',
    (plan) => Object.assign(plan.fillRuns[0]!, { quantity: 0 }),
    'fillRuns[0].quantity OUT_OF_RANGE',
  ],
  [
    'a moved thing of no kind',
    (plan) => Object.assign(plan, { moved: [{ kind: 'VAN', id: 'x', reasons: [] }] }),
    'moved[0].kind UNKNOWN_CHOICE',
  ],
  ['one run id twice', (plan) => plan.fillRuns.push({ ...plan.fillRuns[0]! }), 'fillRuns[7].id DUPLICATE_ID'],
  [
    'a brew under the id of a batch',
    (plan) => plan.brews.push({ ...plan.brews[1]!, id: 'B3' }),
    'brews[2].id ID_OF_A_BATCH',
  ],
  [
    'a brew of no beer',
    (plan) => Object.assign(plan.brews[0]!, { beerId: 'mild' }),
    'brews[0].beerId UNKNOWN_REFERENCE',
  ],
  [
    'a brew into no vessel',
    (plan) => Object.assign(plan.brews[0]!, { vesselId: 'FV9' }),
    'brews[0].vesselId UNKNOWN_REFERENCE',
  ],
  [
    'a transfer of no batch',
    (plan) => Object.assign(plan.transfers[0]!, { batchId: 'P9' }),
    'transfers[0].batchId UNKNOWN_REFERENCE',
  ],
  [
    'a transfer into no vessel',
    (plan) => Object.assign(plan.transfers[0]!, { toVesselId: 'BT9' }),
    'transfers[0].toVesselId UNKNOWN_REFERENCE',
  ],
  [
    'a run of no batch',
    (plan) => Object.assign(plan.fillRuns[0]!, { batchId: 'P9' }),
    'fillRuns[0].batchId UNKNOWN_REFERENCE',
  ],
  [
    'a run on no filler',
    (plan) => Object.assign(plan.fillRuns[0]!, { fillerId: 'hand' }),
    'fillRuns[0].fillerId UNKNOWN_REFERENCE',
  ],
  [
    'a run of no pack',
    (plan) => Object.assign(plan.fillRuns[0]!, { packId: 'mild-cask' }),
    'fillRuns[0].packId UNKNOWN_REFERENCE',
  ],
  [
    'a delivery of no line',
    (plan) => Object.assign(plan.deliveries[0]!, { orderLineId: 'l99' }),
    'deliveries[0].orderLineId UNKNOWN_REFERENCE',
  ],
  [
    'a delivery on no route',
    (plan) => Object.assign(plan.deliveries[0]!, { routeId: 'bus' }),
    'deliveries[0].routeId UNKNOWN_REFERENCE',
  ],
  [
    'a delivery from no run',
    (plan) => Object.assign(plan.deliveries[0]!.from[0]!, { fillRunId: 'R99' }),
    'deliveries[0].from[0].fillRunId UNKNOWN_REFERENCE',
  ],
  [
    'a delivery from no lot',
    (plan) => Object.assign(plan.deliveries[9]!.from[0]!, { stockLotId: 'K99' }),
    'deliveries[9].from[0].stockLotId UNKNOWN_REFERENCE',
  ],
  [
    'a delivery from two things',
    (plan) => Object.assign(plan.deliveries[9]!.from[0]!, { fillRunId: 'R1' }),
    'deliveries[9].from[0] SOURCE_NOT_SINGLE',
  ],
  [
    'a dump of no batch',
    (plan) => plan.dumped.push({ batchId: 'P9', on: d(1), litres: 1 }),
    'dumped[3].batchId UNKNOWN_REFERENCE',
  ],
  [
    'an unserved line that is not there',
    (plan) => plan.unserved.push({ orderLineId: 'l99', quantity: 1, reasons: why }),
    'unserved[2].orderLineId UNKNOWN_REFERENCE',
  ],
  [
    'a late line that is not there',
    (plan) => plan.late!.push({ orderLineId: 'l99', reasons: why }),
    'late[3].orderLineId UNKNOWN_REFERENCE',
  ],
  [
    'a promise to a line that is not there',
    (plan) => Object.assign(plan.brokenPromises![0]!, { orderLineId: 'l99' }),
    'brokenPromises[0].orderLineId UNKNOWN_REFERENCE',
  ],
  [
    'a moved decision that the baseline does not have',
    (plan) => Object.assign(plan, { moved: [{ kind: 'BREW', id: 'R1', reasons: why }] }),
    'moved[0].id UNKNOWN_REFERENCE',
  ],
]

describe('parsing a plan', () => {
  it('accepts the base plan and answers it unchanged', () => {
    const plan = basePlan()
    expect(parsePlan(JSON.parse(JSON.stringify(plan)), baseProblem())).toEqual({ ok: true, plan })
  })

  it('accepts a plan without the lists that may be left out', () => {
    const { late, brokenPromises, moved, ...rest } = basePlan()
    expect({ late, brokenPromises, moved }).toMatchObject({ late: expect.anything(), moved: undefined })
    expect(parsePlan(rest, baseProblem()).ok).toBe(true)
  })

  it.each(FAULTS)('reports %s, and nothing else', (_name, change, expected) => {
    const plan = basePlan()
    change(plan)
    const parsed = parsePlan(plan, baseProblem())
    expect(parsed.ok ? [] : parsed.faults.map(({ path, code }) => `${path} ${code}`)).toEqual([expected])
  })

  it('reports all of them at once', () => {
    const plan = basePlan()
    const changes = FAULTS.slice(8) // from the references on: none of them hides another
    for (const [, change] of changes) change(plan)
    const parsed = parsePlan(plan, baseProblem())
    expect(parsed.ok ? 0 : parsed.faults.length).toBeGreaterThanOrEqual(changes.length - 1) // two are of one source
  })

  it.each([[undefined], [null], ['plan'], [[]], [{}]])('refuses %j', (document) => {
    expect(parsePlan(document, baseProblem()).ok).toBe(false)
  })
})
