// Growth: time to a first plan and memory from 200 to 20,000 lines, each size in a process of its own.
import { z } from 'zod'
import { inOwnProcess } from '../own-process.ts'
import { mebibytes, milliseconds, number, type Part } from '../part.ts'
import { exponent } from '../statistics.ts'

const DAYS = 90
const SIZES = [
  { lines: 200, vessels: 6 },
  { lines: 500, vessels: 10 },
  { lines: 1000, vessels: 40 },
  { lines: 2000, vessels: 40 },
  { lines: 5000, vessels: 100 },
  { lines: 10_000, vessels: 200 },
  { lines: 20_000, vessels: 400 },
] as const

const answer = z.object({
  firstMs: z.number(),
  totalMs: z.number(),
  firstCost: z.number(),
  cost: z.number(),
  steps: z.number(),
  maxRssMiB: z.number(),
})

export const growth: Part = {
  name: 'growth',
  about: 'time to a first plan and memory, 200 to 20,000 lines over 90 days',
  run(report) {
    const seconds = report.quick ? 0 : 10
    const sizes = report.quick ? SIZES.slice(0, 4) : SIZES
    const found = sizes.map(({ lines, vessels }) => ({
      lines,
      vessels,
      ...inOwnProcess(report, './one-size.ts', [lines, vessels, DAYS, seconds], answer),
    }))
    report.table(
      ['lines', 'vessels', 'first plan', 'explained and checked', 'its cost', `after ${seconds} s`, 'steps', 'memory'],
      found.map((each) => [
        each.lines,
        each.vessels,
        milliseconds(each.firstMs),
        milliseconds(each.totalMs),
        number(each.firstCost),
        number(each.cost),
        each.steps,
        mebibytes(each.maxRssMiB),
      ]),
    )
    report.say('Memory is the most that the process ever held, the generation of the problem included.')
    const power = exponent(found.map(({ lines, firstMs }) => [lines, firstMs]))
    report.goal('time to a first plan grows with the number of lines to the power', power, 1.3, number)
    for (const { lines, firstMs, maxRssMiB } of found) {
      if (lines === 1000) report.goal('1,000 lines: first plan', firstMs, 300, milliseconds)
      if (lines === 5000) {
        report.goal('5,000 lines: first plan', firstMs, 1000, milliseconds)
        report.goal('5,000 lines: memory', maxRssMiB, 400, mebibytes)
      }
    }
  },
}
