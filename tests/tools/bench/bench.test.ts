// The benchmark's own arithmetic, and that what must never be fails a part.
import { describe, expect, it } from 'vitest'
import { tinyProblem } from '../../../seeds/small-problem.ts'
import { makePlan, parseProblem } from '../../../src/planner/index.ts'
import { reportOf } from '../../../tools/bench/against/against.ts'
import { leaveOutDefaults } from '../../../tools/bench/against/leave-out-defaults.ts'
import { workOf, workShape } from '../../../tools/bench/against/work.ts'
import { optionsOf } from '../../../tools/bench/options.ts'
import { Report } from '../../../tools/bench/part.ts'
import { PARTS } from '../../../tools/bench/parts.ts'
import { startsWork, startsWorkShape } from '../../../tools/bench/starts/work.ts'
import { exponent, percentile } from '../../../tools/bench/statistics.ts'
import { table } from '../../../tools/bench/table.ts'
import { timedPlan } from '../../../tools/bench/timed-plan.ts'

describe('statistics', () => {
  it('finds the exponent of a power', () => {
    expect(exponent([200, 1000, 5000].map((x) => [x, 3 * x ** 1.25] as const))).toBeCloseTo(1.25, 10)
  })

  it('takes the value that the share does not exceed', () => {
    const values = Array.from({ length: 100 }, (_, index) => 100 - index)
    expect([0.5, 0.95, 0.99, 1].map((share) => percentile(values, share))).toEqual([50, 95, 99, 100])
  })
})

it('prints tables whose columns stand under each other, numbers to the right', () => {
  const text = table(
    ['what', 'count'],
    [
      ['casks', 7],
      ['a', 1200],
    ],
  )
  expect(text.split('\n')).toEqual(['| what  | count |', '| ----- | ----: |', '| casks |     7 |', '| a     |  1200 |'])
})

describe('a report', () => {
  it('counts a goal that is missed, and none of a quick run', () => {
    const said: string[] = []
    const full = new Report(false, (text) => said.push(text))
    full.goal('gap', 0.5, 0.1, String)
    const quick = new Report(true, (text) => said.push(text))
    quick.goal('gap', 0.5, 0.1, String)
    expect([full.missed, quick.missed]).toEqual([1, 0])
    expect(said).toEqual(['gap: 0.5 (goal: at most 0.1, MISSED)\n', 'gap: 0.5\n'])
  })

  it('accepts a plan of the planner, and notes one that breaks a rule or lies about its cost', () => {
    const problem = tinyProblem(3)
    const report = new Report(false, () => {})
    const { plan } = timedPlan(report, 'tiny', problem, 0)
    expect([report.plans, report.faults]).toEqual([1, []])
    report.check('cheaper', problem, { ...plan, cost: { ...plan.cost, total: plan.cost.total - 1 } })
    expect(report.faults.join()).toContain('cheaper')
    const before = report.faults.length
    report.check('forgetful', problem, { ...makePlan(problem, { steps: 0 }).plan, deliveries: [] })
    expect(report.faults.length).toBeGreaterThan(before)
  })
})

describe('the part on starts', () => {
  it('hands both checkouts problems that the planner reads, each with a cost to be compared with', () => {
    const { work, hard } = startsWork(false, undefined)
    expect(hard).toBe(false)
    expect(work.seeds).toBe(12)
    for (const { document, best, steps } of startsWorkShape.parse(JSON.parse(JSON.stringify(work))).problems) {
      expect(parseProblem(document).ok).toBe(true)
      expect(Math.min(best, steps)).toBeGreaterThan(0)
    }
  })
})

describe('the options of parts', () => {
  it('are days and what becomes of unsaid work', () => {
    expect(optionsOf({ days: '20', setting: 'due' })).toEqual({ days: 20, setting: 'DUE_UNTIL_SAID' })
    expect(optionsOf({})).toEqual({})
  })

  it.each([
    [{ days: 'many' }, 'Days are a number.'],
    [{ days: '0' }, 'Days are 1 or more.'],
    [{ setting: 'never' }, 'The setting is assumed or due.'],
    [{ brewery: 'large' }, 'The brewery is demo or small.'],
  ])('are refused as %o with what is wrong', (given, words) => {
    expect(() => optionsOf(given)).toThrow(words)
  })
})

it('gives every part a name of its own and one line on what it shows', () => {
  expect(new Set(PARTS.map(({ name }) => name)).size).toBe(PARTS.length)
  for (const { name, about } of PARTS) {
    expect(name).toMatch(/^[a-z-]+$/)
    expect(about).toMatch(/^[^\n]{10,120}$/)
  }
})

describe('a comparison with another commit', () => {
  it('answers the ratio of medians, and says where it is over the measure', () => {
    const round = (steps: number) => ({ steps, first: 1, placements: 1 })
    const times = { here: [3, 1, 2].map(round), there: [1, 9, 1].map(round) }
    const lines = reportOf(times, 'abc', 3).split('\n')
    expect(lines[2]?.split(/ *\| */)).toEqual(['', 'steps of the search', '2.000', '1.000', '2.000', 'MISSED', ''])
    expect(lines[3]?.split(/ *\| */)).toEqual([
      '',
      'first plan, explained and checked',
      '1.000',
      '1.000',
      '1.000',
      'met',
      '',
    ])
  })

  it('hands both checkouts documents that the planner reads', () => {
    const work = workShape.parse(JSON.parse(JSON.stringify(workOf(true))))
    for (const problem of [work.warmUp, work.large, ...work.searched]) expect(parseProblem(problem).ok).toBe(true)
  })

  it('leaves out of the documents what is a default, which an older checkout may not know', () => {
    const problem = { ...tinyProblem(3), stock: [], frozenDays: 0 }
    const [batch, ...batches] = problem.batches
    const mixed = { ...problem, batches: batch ? [{ ...batch, quarantined: true, primable: true }, ...batches] : [] }
    const document = leaveOutDefaults(mixed)
    expect(parseProblem(document)).toEqual({ ok: true, problem: mixed })
    expect(document).not.toHaveProperty('frozenDays')
    expect(document).toHaveProperty('batches.0.quarantined', true)
    expect(document).not.toHaveProperty('batches.0.primable')
  })
})
