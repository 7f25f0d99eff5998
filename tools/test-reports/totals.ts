// Ends `.ci/run`: says again what failed, where it is looked for, and how many tests passed and failed in all. Each argument names a
// run by its report without `.json`; the report of its repetition, if there was one, ends in `-again.json`. Ends with 1 if a test failed.
import { existsSync, readFileSync } from 'node:fs'
import { judge, parseReport, verdictText } from './reports.ts'

const runs = process.argv.slice(2)
if (runs.length === 0) throw new Error('Say which runs: totals.ts REPORT…, without .json')
const verdicts = runs.map((run) => judge(reportIn(run), optionalReportIn(`${run}-again`), process.cwd()))
const sum = (count: (verdict: (typeof verdicts)[number]) => number) =>
  verdicts.reduce((total, one) => total + count(one), 0)
for (const verdict of verdicts) process.stdout.write(verdictText(verdict))
const failed = sum((verdict) => verdict.failed.length)
console.log(`\n${sum((verdict) => verdict.passed)} passed, ${failed} failed`)
process.exitCode = failed === 0 ? 0 : 1

function reportIn(run: string) {
  return parseReport(readFileSync(`${run}.json`, 'utf8'))
}

function optionalReportIn(run: string) {
  return existsSync(`${run}.json`) ? reportIn(run) : undefined
}
