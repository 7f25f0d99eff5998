// Stock leaves the cold store before it is in the way. The store holds five casks; four stand there today, and another four can be
// filled on day 2 alone and leave from day 3 on: the first four must be gone by day 2, though their line is wanted on day 6.
import { expect, it } from 'vitest'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { place } from '../../../src/planner/insertion/place.ts'
import { EXACT } from '../../../src/planner/insertion/policy.ts'
import { openLivePlan } from '../../../src/planner/live/open-live-plan.ts'
import { holds } from '../../../src/planner/model/stores-fleets.ts'
import { reopen } from '../../../src/planner/opening/reopen.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

function crowded(wantedOn: number): Problem {
  const problem = oneVesselBrewery({
    orderLines: [order('a', 4, wantedOn), order('b', 4, 6)],
    stores: [{ siteId: 'yard', climate: 'COLD', capacityLitres: 200 }],
  })
  Object.assign(problem.fillers[0]!, { minutesPerDay: 0, minutesOn: { [day(2)]: 480 } })
  problem.beers[0]!.maxTankDays = 3
  const lot = { siteId: 'yard', packId: 'cask', quantity: 4, quarantined: false }
  problem.stock.push({ id: 'lot', ...lot, filledOn: day(-3), readyOn: day(-2), bestBefore: day(30) })
  return problem
}

/** A plan in which the first line leaves in time: made as if it were wanted on day 3. */
function crowdedPlan(): { problem: Problem; plan: Plan } {
  const problem = crowded(6)
  const { plan } = makePlan(crowded(3), { steps: 100 })
  expect(plan.deliveries).toHaveLength(2)
  for (const delivery of plan.deliveries) delivery.serveOn = day(6)
  return { problem, plan: makePlan({ ...problem, baseline: plan }, { steps: 0 }).plan }
}

it('is placed again so that the store holds what others fill, though a later dispatch costs no more', () => {
  const { problem, plan } = crowdedPlan()
  const { state } = reopen(problem, plan)
  const early = state.placements.find((each) => each?.deliveries.some(({ lots }) => lots.length > 0))
  if (!early) throw new Error('one line takes the stock')
  state.remove(early)
  expect(holds(state)).toBe(false)
  const found = place(state, early.line, EXACT)
  if (!found) throw new Error('it can be placed')
  expect(found.placement.deliveries).toMatchObject([{ dispatch: 2 }])
  state.apply(found.placement)
  expect(holds(state)).toBe(true)
})

it('lets a line that is wanted otherwise have its stock again, and no other gives way to make room', () => {
  const { problem, plan } = crowdedPlan()
  const fromStock = plan.deliveries.find(({ from }) => from.some(({ stockLotId }) => stockLotId === 'lot'))
  const [id, other] = fromStock?.orderLineId === 'a' ? ['a', 'b'] : ['b', 'a']
  const live = openLivePlan({ ...problem, baseline: plan }, plan)
  const kept = JSON.stringify(live.deliveries([other]))
  const amended = { ...order(id, 4, 7), promisedOn: day(7) }
  const proposal = live.propose(new Set([id]), () => [{ placed: amended, wanted: amended }])
  expect(proposal).toMatchObject({ inPlace: true, answers: [{ served: 4, onTime: true }] })
  expect(JSON.stringify(proposal.next.deliveries([other]))).toBe(kept)
})
