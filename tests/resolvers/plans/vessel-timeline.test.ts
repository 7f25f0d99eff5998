// What each vessel does day by day: derived from the demo's plan and from plans of random problems.
import { describe, expect, it, test } from 'vitest'
import { randomProblem } from '../../../seeds/random-problem.ts'
import type { Vessel } from '../../../src/planner/documents/index.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { deriveFacts, type Facts } from '../../../src/planner/facts/facts.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { type VesselTimeline, vesselTimelines } from '../../../src/resolvers/plans/vessel-timeline.ts'
import { plannedScenario } from '../../support/planned-demo.ts'

const demo = plannedScenario('2027-03-01').problem
if (!demo.baseline) throw new Error('the demo has no plan')
const plans = [
  { name: 'the demo', facts: deriveFacts(demo, demo.baseline) },
  ...Array.from({ length: 40 }, (_, seed) => {
    const problem = randomProblem(seed)
    return { name: `random ${seed}`, facts: deriveFacts(problem, makePlan(problem, { steps: 20 }).plan) }
  }),
]

/** What a vessel does on each day of the horizon, by what the rules say of that day alone. */
function byDay({ spans }: VesselTimeline): { day: string; kind: string; batchId: string | undefined }[] {
  return spans.flatMap(({ kind, from, to, beer }) => {
    const days: string[] = []
    for (let day = from; day <= to; day = addDays(day, 1)) days.push(day)
    return days.map((day) => ({ day, kind, batchId: beer?.batchId }))
  })
}

const isOut = (vessel: Vessel, day: string) =>
  day < (vessel.availableFrom ?? '') || vessel.outOfService.some(({ from, to }) => from <= day && day <= to)

const allDays = ({ problem }: Facts) =>
  Array.from({ length: problem.horizonDays }, (_, day) => addDays(problem.today, day))

describe.each(plans)('the timelines of $name', ({ facts }) => {
  const timelines = vesselTimelines(facts)

  it('have every vessel, and every day of the horizon once and in order', () => {
    expect(timelines.map(({ vesselId }) => vesselId)).toEqual(facts.problem.vessels.map(({ id }) => id))
    for (const timeline of timelines) expect(byDay(timeline).map(({ day }) => day)).toEqual(allDays(facts))
  })

  it('have each batch in its vessels from the day it enters to the day it is emptied, and its ready day', () => {
    const shown = timelines.flatMap(({ vesselId, spans }) =>
      spans.flatMap(({ beer, from, to, kind }) => (beer ? [{ vesselId, from, to, kind, ...beer }] : [])),
    )
    const { problem } = facts
    const [today, lastDay] = [problem.today, addDays(problem.today, problem.horizonDays - 1)]
    const stays = [...facts.batches.values()].flatMap(({ stays }) => stays)
    expect(shown).toHaveLength(stays.length)
    for (const { batch, vessel, enters, emptiedOn, firstFillDay, litres } of stays)
      expect(shown).toContainEqual({
        vesselId: vessel.id,
        batchId: batch.id,
        beerId: batch.beer.id,
        kind: batch.brew ? 'BREW' : 'BATCH',
        isPlanned: batch.brew !== undefined,
        from: enters < 0 ? today : facts.dateOf(enters),
        to: emptiedOn === undefined ? lastDay : facts.dateOf(emptiedOn),
        emptiedOn: emptiedOn === undefined ? undefined : facts.dateOf(emptiedOn),
        readyOn: facts.dateOf(firstFillDay),
        litres,
      })
  })

  it('have a vessel cleaned for its turnaround days after beer, out of service by its dates, and free else', () => {
    for (const [index, timeline] of timelines.entries()) {
      const vessel = facts.problem.vessels[index]!
      const days = byDay(timeline)
      for (const [position, { day, kind, batchId }] of days.entries()) {
        if (batchId !== undefined) continue
        const isCleaned = days.slice(Math.max(0, position - vessel.turnaroundDays), position).some((one) => one.batchId)
        expect(kind, `${vessel.id} on ${day}`).toBe(
          isOut(vessel, day) ? 'OUT_OF_SERVICE' : isCleaned ? 'CLEANING' : 'FREE',
        )
      }
    }
  })
})

test('among the plans every kind of span is seen', () => {
  const seen = plans
    .flatMap(({ facts }) => vesselTimelines(facts))
    .flatMap(({ spans }) => spans.map(({ kind }) => kind))
  expect([...new Set(seen)].sort()).toEqual(['BATCH', 'BREW', 'CLEANING', 'FREE', 'OUT_OF_SERVICE'])
})
