// V11: what a plan says of a line that needs a transfer more than a site starts on a day.
import { describe, expect, it } from 'vitest'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { makePlan, servedWith } from '../../../src/planner/index.ts'
import { brightVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

describe('a line that would need a transfer more than the site starts on a day', () => {
  const problem = brightVesselBrewery({ horizonDays: 6, orderLines: [order('a', 4, 3, { packId: 'keg' })] })
  problem.sites[0]!.transfersPerDay = 0
  const { plan } = makePlan(problem, { steps: 50 })

  it('is not served, and the reason names the site and one transfer more a day as the relief', () => {
    expect(plan.transfers).toEqual([])
    const [{ reasons } = { reasons: [] }] = plan.unserved
    expect(reasons.find(({ rule }) => rule === 'V11')).toMatchObject({
      resource: { kind: 'SITE', id: 'yard' },
      relief: { what: 'TRANSFERS_PER_DAY', amount: 1, unit: 'TRANSFER' },
    })
  })

  it('is served on time with that relief', () => {
    const reason = plan.unserved[0]?.reasons.find(({ relief }) => relief?.what === 'TRANSFERS_PER_DAY')
    const relieved = reason && servedWith(problem, plan, 'a', reason)
    expect(relieved?.plan.transfers).toHaveLength(1)
    expect(relieved?.plan.unserved).toEqual([])
  })
})

it('names the limit where a transfer that was to stay is one too many (F1)', () => {
  const before = brightVesselBrewery({ horizonDays: 6, orderLines: [order('a', 4, 3, { packId: 'keg' })] })
  const { plan } = makePlan(before, { steps: 50 })
  const fixed = { ...plan, transfers: plan.transfers.map((transfer) => ({ ...transfer, fixed: true })) }
  const problem: Problem = { ...before, baseline: fixed }
  problem.sites[0]!.transfersPerDay = 0
  const after = makePlan(problem, { steps: 50 }).plan
  expect(after.moved?.find(({ kind }) => kind === 'TRANSFER')).toMatchObject({ reasons: [{ rule: 'V11' }] })
})
