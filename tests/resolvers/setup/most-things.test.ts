// A distributor has at most so many things of each kind, plans reach at most so far, and what is beyond is refused by its field.
import { expect, test } from 'vitest'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { changeDistributor } from '../../../src/resolvers/setup/distributor.ts'
import { createSite } from '../../../src/resolvers/setup/site.ts'
import { testJobs } from '../../support/jobs.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor } = await openPlannedDemo()
const { distributorId } = actor

test('one site more than there may be is refused', async () => {
  const [like] = await client.site.findMany({ where: { distributorId } })
  if (!like) throw new Error('the demo has a site')
  const there = new Set((await client.site.findMany({ where: { distributorId } })).map(({ number }) => number))
  const free = Array.from({ length: 36 }, (_, number) => number).filter((number) => !there.has(number))
  const more = free.map((number, n) => ({
    ...like,
    id: `more-${n}`,
    externalRef: `MORE-${n}`,
    name: `More ${n}`,
    number,
  }))
  await client.site.createMany({ data: more })
  const one = {
    ...{ name: 'One more', timeZone: like.timeZone, brewWeekdays: [1], fillWeekdays: [1] },
    ...{ brewsPerDay: 1, brewEnds: '18:00', fillStarts: '08:00' },
  }
  await expect(createSite(actor, one)).rejects.toMatchObject({ issues: [{ path: '', code: 'TOO_MANY_THINGS' }] })
})

test('plans reach at most 400 days', async () => {
  await expect(changeDistributor(actor, { horizonDays: 401, frozenDays: 401 })).rejects.toMatchObject({
    issues: [
      { path: 'horizonDays', code: 'OUT_OF_RANGE' },
      { path: 'frozenDays', code: 'OUT_OF_RANGE' },
    ],
  })
})

test('a draft freezes at most the days that plans reach', async () => {
  const jobs = testJobs(actor)
  await jobs.stop()
  await expect(draftPlan({ ...actor, jobs }, { frozenDays: 999 })).rejects.toMatchObject({
    issues: [{ path: 'frozenDays', code: 'OUT_OF_RANGE' }],
  })
})
