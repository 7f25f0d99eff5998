// The effort for reliefs is counted in tries, so each try must tell much: what cannot help is not tried, and what a line was
// seen to need is tried next.
import { describe, expect, it } from 'vitest'
import type { Problem, Reason } from '../../../src/planner/documents/index.ts'
import { explainer } from '../../../src/planner/explanation/explain.ts'
import { makePlan, servedWith } from '../../../src/planner/index.ts'
import { reopenAsMade } from '../../../src/planner/opening/reopen.ts'
import { shopBeer, shopDay, shopProblem } from '../../../tools/benchmarks/shop-problem.ts'

const DAYS = 300

/** A filler of one minute a day that is a few minutes short of what is asked for by a day far away. */
function shortOfMinutes(missing: number): Problem {
  const line = (id: string, quantity: number) => ({
    ...{ id, orderId: id, accountId: 'account', packId: 'pin', quantity, serveOn: shopDay(DAYS - 1) },
    latestServeOn: shopDay(DAYS - 1),
  })
  return shopProblem({
    horizonDays: DAYS,
    beers: [shopBeer('mild', ['pin'])],
    containerTypes: [{ id: 'pin', kind: 'CASK', nominalLitres: 20 }],
    filler: { minutesPerDay: 1, setupMinutes: 0, minutesEach: { pin: 1 } },
    orderLines: [line('many', DAYS), line('few', missing)],
    costs: { unserved: 1 },
  })
}

function reliefsWithin(problem: Problem, tries: number): { lineId: string; reasons: Reason[] } {
  const { plan } = makePlan(problem, { steps: 0 })
  const state = reopenAsMade(problem, plan)
  const orderLineId = plan.unserved[0]?.orderLineId ?? ''
  const line = state.model.lines.find((each) => each.id === orderLineId)
  if (!line) throw new Error('the plan leaves a line unserved')
  return { lineId: orderLineId, reasons: explainer(state, { trials: tries, perLine: tries })(line) }
}

describe('the minutes that a filler is short', () => {
  it.each([1, 7, 40])('are found by a few tries among hundreds of days: %i', (missing) => {
    const problem = shortOfMinutes(missing)
    const { lineId, reasons } = reliefsWithin(problem, 10)
    const reason = reasons.find(({ relief }) => relief?.what === 'FILLER_MINUTES')
    expect(reason?.relief?.amount).toBe(missing)
    const { plan } = makePlan(problem, { steps: 0 })
    expect(reason && servedWith(problem, plan, lineId, reason)).toBeDefined()
  })
})
