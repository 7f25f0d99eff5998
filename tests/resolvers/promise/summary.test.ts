// The line to read out: true about days on which a line is no longer wanted, about questions without a day, and said once.
import { expect, test } from 'vitest'
import { addDays, dayWords } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'
import { sampled } from '../../support/sampled.ts'

const { client, actor, scenario } = await openPlannedDemo()
const { today, horizonDays, accounts } = scenario.problem
const lastDay = addDays(today, horizonDays - 1)
const names = new Map((await client.pack.findMany()).map(({ id, name }) => [id, name]))
const nameOf = async ({ id }: { id: string }) => names.get(id)
const packs = Object.values(scenario.names.packs ?? {}).flatMap(({ externalRef }) => externalRef ?? [])
const somePacks = sampled(packs, 4)

interface AskedFor {
  pack: string
  quantity: number
  serveOn?: string
  latestServeOn?: string
}

/** The answer in words, and those of its alternatives. */
async function say(lines: readonly AskedFor[], serveOn?: string) {
  const answer = await promise(actor, {
    account: { id: encodeGlobalId('Account', accounts[0]?.id ?? '') },
    serveOn,
    lines: lines.map(({ pack, ...line }) => ({ ...line, pack: { externalRef: pack } })),
  })
  const alternatives = await answer.alternatives()
  const summaries = await Promise.all(alternatives.map(({ summary }) => summary(nameOf)))
  return { answer, summary: await answer.summary(nameOf), alternatives, summaries }
}

test('what is wanted no later than a day is not said to be out of reach on later days, which were not looked at', async () => {
  let short = 0
  for (const pack of packs) {
    const latestServeOn = addDays(today, 12)
    const { answer, summary, summaries } = await say([{ pack, quantity: 60, latestServeOn }], addDays(today, 10))
    if (answer.offerToken) continue
    for (const words of [summary, ...summaries].filter((words) => /had by/.test(words))) {
      short++
      expect(words).toContain(`had by ${dayWords(latestServeOn)}`)
      expect(words).not.toContain(`had by ${dayWords(lastDay)}`)
    }
  }
  expect(short).toBeGreaterThan(packs.length)
})

test('where a question without a day cannot be had whole, what limits it is not that no route runs today', async () => {
  let short = 0
  for (const pack of somePacks) {
    const { answer, summary } = await say([{ pack, quantity: 200 }])
    if (answer.offerToken) continue
    short++
    expect(summary).toMatch(/ What limits it: /)
    expect(summary).not.toMatch(/routes runs in time/)
  }
  expect(short).toBeGreaterThan(0)
})

test('a line that is wanted as early as can be names no limits where it is had, and those of its last day where it is not', async () => {
  let had = 0
  let short = 0
  for (const pack of somePacks)
    for (const quantity of [2, 200]) {
      const { answer } = await say([{ pack, quantity }])
      for (const line of answer.lines) {
        const codes = line.limits().map(({ code }) => code)
        if (answer.offerToken) {
          had++
          expect(codes, pack).toEqual([])
        } else {
          short++
          expect(codes.length, pack).toBeGreaterThan(0)
          // That no route leaves today keeps nothing from its last day.
          expect(codes, pack).not.toContain('NO_ROUTE_IN_TIME')
        }
      }
    }
  expect(Math.min(had, short)).toBeGreaterThan(0)
})

test('an alternative says what it gives, and not what limits the answer', async () => {
  const { summary, summaries } = await say([{ pack: 'FOO-FIRKIN', quantity: 120 }], addDays(today, 24))
  expect(summary).toMatch(/What limits it: /)
  expect(summaries.length).toBeGreaterThan(0)
  for (const words of summaries) expect(words).not.toMatch(/What limits it/)
})

test('alternatives that bring the same on the same days are one, each part of which is promised by its own day', async () => {
  let parts = 0
  for (const pack of somePacks)
    for (const quantity of [40, 110, 200]) {
      const { summaries, alternatives } = await say([{ pack, quantity }], addDays(today, 24))
      expect(new Set(summaries).size, summaries.join('\n')).toBe(summaries.length)
      parts += alternatives.filter(({ lines }) => lines.length > 1).length
    }
  expect(parts).toBeGreaterThan(0)
})

test('where lines are wanted on several days, each late one says its own', async () => {
  const [soon, later] = [addDays(today, 3), addDays(today, 10)]
  const { summary } = await say([
    { pack: 'MAR-KEG50', quantity: 1, serveOn: soon },
    { pack: 'FOO-FIRKIN', quantity: 40, serveOn: later },
  ])
  expect(summary).toMatch(
    new RegExp(`firkin on \\w+day \\d+ \\w+ \\d+, wanted on ${dayWords(later)}\\. What limits it`),
  )
})

test('the answer itself is no alternative to it', async () => {
  let late = 0
  for (const pack of somePacks) {
    const { answer, summary, summaries } = await say([{ pack, quantity: 2 }], addDays(today, 3))
    if (!answer.offerToken || answer.allOnTime) continue
    late++
    const [given = ''] = summary.split('; wanted on')
    for (const words of summaries) expect(words).not.toBe(`${given}.`)
  }
  expect(late).toBeGreaterThan(0)
})

test('another day for a late line leaves the day of a line that is wanted on another', async () => {
  const soon = addDays(today, 3)
  let other = 0
  for (const pack of packs)
    for (const days of [5, 6, 7, 12, 17]) {
      const { alternatives } = await say([
        { pack: 'MAR-KEG50', quantity: 1, serveOn: soon },
        { pack, quantity: 2, serveOn: addDays(today, days) },
      ])
      for (const { kind, asked } of alternatives.filter(({ kind }) => /_DAY$/.test(kind))) {
        other++
        expect(
          asked[0]?.gets.map(({ serveOn }) => serveOn),
          `${kind} of ${pack}`,
        ).toEqual([soon])
      }
    }
  expect(other).toBeGreaterThan(0)
})
