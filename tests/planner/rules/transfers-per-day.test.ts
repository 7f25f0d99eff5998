// V11, from both sides: the search refuses one more transfer on just the days on which the check finds one too many.
import { describe, expect, it } from 'vitest'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { addDays, type Plan, type Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan, servedWith } from '../../../src/planner/index.ts'
import { mayTransferOn } from '../../../src/planner/insertion/days.ts'
import { reopenAsMade } from '../../../src/planner/opening/reopen.ts'
import { brightVesselBrewery, order } from '../../exact/one-vessel-brewery.ts'

const KINDS = ['BINDING_TRANSFERS', 'BRIGHT'] as const

it('is refused by the search on the days on which the check finds a transfer too many, and on no others', () => {
  const seen = { refused: 0, allowed: 0 }
  for (const kind of KINDS) {
    for (let seed = 1; seed <= 30; seed++) {
      const problem = randomProblem(seed, kind)
      const { plan } = makePlan(problem, { steps: 30 })
      const state = reopenAsMade(problem, plan)
      for (const [index, site] of problem.sites.entries()) {
        for (let day = 0; day < problem.horizonDays; day++) {
          // On other days it is T2 that refuses.
          if (!state.model.sites[index]?.fillOn[day]) continue
          const forced = withTransfer(problem, plan, site.id, addDays(problem.today, day))
          if (!forced) continue
          const broken = checkPlan(problem, forced).violations.some(
            (each) => each.rule === 'V11' && each.day === addDays(problem.today, day),
          )
          expect(mayTransferOn(state, index, day), `${kind} ${seed}, ${site.id}, day ${day}`).toBe(!broken)
          seen[broken ? 'refused' : 'allowed']++
        }
      }
    }
  }
  expect(seen.refused).toBeGreaterThan(100)
  expect(seen.allowed).toBeGreaterThan(100)
}, 60_000)

/** The plan with one transfer more on a day, of a batch at the site; undefined where the plan has no batch there to move. */
function withTransfer(problem: Problem, plan: Plan, siteId: string, on: string): Plan | undefined {
  const vessels = problem.vessels.filter((vessel) => vessel.siteId === siteId)
  const to = vessels.find(({ kind }) => kind === 'BRIGHT')
  const batches = [...plan.brews, ...problem.batches.filter((batch) => batch.transferredOn === undefined)]
  const batch = batches.find(({ vesselId }) => vessels.some(({ id }) => id === vesselId))
  if (!to || !batch) return undefined
  const transfer = { id: 'forced', batchId: batch.id, toVesselId: to.id, on, litres: 1 }
  return { ...plan, transfers: [...plan.transfers, transfer] }
}

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
