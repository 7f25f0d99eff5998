// The parser of problems: every kind of fault under its code and path, all of them at once, and what is no fault.
import { describe, expect, it } from 'vitest'
import type { Fault, Problem } from '../../../src/planner/documents/index.ts'
import { FAULT_ACTIONS } from '../../../src/planner/documents/parse/faults.ts'
import { parseProblem } from '../../../src/planner/index.ts'
import { processorTime } from '../../support/processor-time.ts'
import { baseProblem, d } from '../base/base-problem.ts'
import { type Loose, put, SINGLE_FAULTS } from './single-faults.ts'

function faultsAfter(change: (document: Loose) => void): Fault[] {
  const document = JSON.parse(JSON.stringify(baseProblem()))
  change(document)
  const parsed = parseProblem(document)
  return parsed.ok ? [] : parsed.faults
}

/** Codes that only plans have. */
const PLAN_ONLY = ['ID_OF_A_BATCH']

describe('parsing a problem', () => {
  it('accepts the base problem and answers it unchanged', () => {
    const problem = baseProblem()
    expect(parseProblem(JSON.parse(JSON.stringify(problem)))).toEqual({ ok: true, problem })
  })

  it.each(SINGLE_FAULTS)('reports %s, and nothing else', (_name, change, path, code) => {
    expect(faultsAfter(change).map((found) => ({ path: found.path, code: found.code }))).toEqual([{ path, code }])
  })

  it('has a test for each code of the catalogue', () => {
    const tested = new Set([...SINGLE_FAULTS.map(([, , , code]) => code), ...PLAN_ONLY])
    expect(Object.keys(FAULT_ACTIONS).filter((code) => !tested.has(code))).toEqual([])
  })

  it('says of every fault what the caller can do', () => {
    for (const [, change] of SINGLE_FAULTS)
      for (const found of faultsAfter(change)) {
        expect(found.action.length).toBeGreaterThan(20)
        expect(found.message.length).toBeGreaterThan(8)
      }
  })

  it('reports faults of shape and of meaning in different places all at once', () => {
    const faults = faultsAfter((p) => {
      put(p.beers[0], 'colour', 'gold') // a broken beer …
      put(p.beers[0].packs[0], 'containerTypeId', 'tun') // … is still searched for faults of meaning
      put(p.orderLines[0], 'packId', 'mild-cask')
      put(p.sites[1], 'brewEnds', 'late')
      put(p.sites[1], 'id', 'hill')
      put(p.baseline.brews[1], 'id', 'P1')
    })
    expect(faults.map(({ path, code }) => `${path} ${code}`).sort()).toEqual(
      [
        'baseline.brews[1].id DUPLICATE_ID',
        'beers[0].colour UNKNOWN_KEY',
        'beers[0].packs[0].containerTypeId UNKNOWN_REFERENCE',
        'orderLines[0].packId UNKNOWN_REFERENCE',
        'sites[1].brewEnds NO_SUCH_TIME',
        'sites[1].id DUPLICATE_ID',
        'stock[0].siteId UNKNOWN_REFERENCE', // the coast has lost its id …
        'stores[2].siteId UNKNOWN_REFERENCE',
        'routes[1].siteId UNKNOWN_REFERENCE',
      ].sort(),
    )
  })

  it('does not blame what refers to a thing that is there but broken', () => {
    const faults = faultsAfter((p) => put(p.beers[0], 'fermentHours', 'long'))
    expect(faults.map(({ path }) => path)).toEqual(['beers[0].fermentHours'])
  })

  it.each([
    ['nothing', undefined],
    ['null', null],
    ['a text', 'problem'],
    ['a list', []],
    ['a number', 7],
  ])('refuses %s with a fault of the document itself', (_name, document) => {
    const parsed = parseProblem(document)
    expect(parsed.ok ? [] : parsed.faults.map(({ path }) => path)).toContain('')
  })

  it('refuses more routes than the planner can number in two bytes', () => {
    const more = (p: Loose) => {
      const others = Array.from({ length: 65_536 }, (_, n) => ({ ...p.routes[0], id: `R${n}` }))
      put(p, 'routes', [...p.routes, ...others])
    }
    expect(faultsAfter(more)).toMatchObject([{ path: 'routes', message: expect.stringContaining('at most 65536') }])
  })

  it('accepts what is unusual but may be so', () => {
    const oddities: ((p: Problem) => void)[] = [
      (p) => Object.assign(p.orderLines[0]!, { serveOn: d(-3) }),
      (p) => Object.assign(p.orderLines[0]!, { serveOn: d(400) }),
      (p) => Object.assign(p.accounts[0]!, { routeIds: [] }),
      (p) => Object.assign(p.batches[0]!, { litres: 5_000_000 }),
      (p) => Object.assign(p.batches[0]!, { vesselId: 'FV1' }),
      (p) => Object.assign(p.beers[0]!, { fermentHours: 71.25, vesselIds: ['FV1'] }),
      (p) => Object.assign(p.fillers[0]!, { minutesPerDay: 0, setupMinutes: 0.5, minutesEach: {} }),
      (p) => Object.assign(p.sites[0]!, { brewWeekdays: [], closedOn: [d(3), d(3)] }),
      (p) => Object.assign(p.baseline!, { late: [{ orderLineId: 'cancelled', reasons: [] }] }),
      (p) => Object.assign(p.stock[0]!, { quantity: 0, bestBefore: d(-17), readyOn: d(-17) }),
    ]
    for (const oddity of oddities) {
      const problem = baseProblem()
      oddity(problem)
      expect(parseProblem(problem)).toMatchObject({ ok: true })
    }
  })

  it('reads 20,000 order lines within seconds, and lists 20,000 faults too', async () => {
    const problem = baseProblem()
    problem.orderLines = Array.from({ length: 20_000 }, (_, i) => ({ ...problem.orderLines[0]!, id: `line ${i}` }))
    const read = await processorTime(() => parseProblem(problem))
    expect(read.result.ok).toBe(true)
    expect(read.took).toBeLessThan(4000)
    const broken = { ...problem, orderLines: problem.orderLines.map((line) => ({ ...line, quantity: 0 })) }
    const { result: parsed, took } = await processorTime(() => parseProblem(broken))
    expect(parsed.ok ? 0 : parsed.faults.length).toBe(20_000)
    expect(took).toBeLessThan(8000)
  })
})
