// Reads the reports that the test runs of `.ci/run` write (vitest's `--reporter=json`): which tests failed, which passed when their
// files ran once more, and how many of each there are.
import { relative } from 'node:path'
import * as z from 'zod'

/** The longest part of a failure's text that is printed, in lines. */
const MOST_LINES = 30

const assertion = z.object({
  status: z.string(),
  fullName: z.string(),
  failureMessages: z.array(z.string()).nullish(),
})
const reportShape = z.object({
  numPassedTests: z.int(),
  testResults: z.array(
    z.object({
      name: z.string(),
      status: z.string(),
      message: z.string().nullish(),
      assertionResults: z.array(assertion),
    }),
  ),
})

/** What a run of tests wrote. */
export type TestReport = z.infer<typeof reportShape>

/** A test that failed: its file, from the folder of the project, its name and what it said. */
export interface Failure {
  file: string
  name: string
  message: string
}

/** The report in a text. @throws {z.ZodError} where it is none. */
export function parseReport(text: string): TestReport {
  return reportShape.parse(JSON.parse(text))
}

/** The tests that failed, in their order. A file that could not even be loaded counts as one test. */
export function failuresOf(report: TestReport, root: string): Failure[] {
  return report.testResults.flatMap(({ name, status, message, assertionResults }) => {
    const file = relative(root, name)
    const failed = assertionResults.filter((test) => test.status === 'failed')
    if (failed.length === 0)
      return status === 'failed' ? [{ file, name: 'could not be run', message: message ?? '' }] : []
    return failed.map((test) => ({ file, name: test.fullName, message: (test.failureMessages ?? []).join('\n') }))
  })
}

/** How a run ended: what passed, what failed in it and again in its repetition, and what passed there. */
export interface Verdict {
  passed: number
  failed: Failure[]
  passedAgain: Failure[]
}

/**
 * Judges a run and the repetition of the files in which something failed, if there was one. A test that failed in both has failed;
 * so has one that did not come up in the repetition.
 */
export function judge(report: TestReport, again: TestReport | undefined, root: string): Verdict {
  const first = failuresOf(report, root)
  const passes = again === undefined ? new Set<string>() : namesOfPassed(again, root)
  const loaded = new Set(
    again?.testResults.filter(({ status }) => status === 'passed').map(({ name }) => relative(root, name)),
  )
  const recovered = (failure: Failure) =>
    passes.has(nameOf(failure)) || (failure.name === 'could not be run' && loaded.has(failure.file))
  const passedAgain = first.filter(recovered)
  return {
    passed: report.numPassedTests + passedAgain.length,
    failed: first.filter((failure) => !recovered(failure)),
    passedAgain,
  }
}

/** What is printed of a verdict: each failure with the beginning of what it said. */
export function verdictText({ failed, passedAgain }: Verdict): string {
  const part = (heading: string) => (failure: Failure) =>
    `\n${heading} ${failure.file} > ${failure.name}\n${failure.message.split('\n').slice(0, MOST_LINES).join('\n')}\n`
  return [...passedAgain.map(part('FAILED ONCE, PASSED ALONE')), ...failed.map(part('FAILED'))].join('')
}

/** The names that passed each time: tests of a table may share one. */
function namesOfPassed(report: TestReport, root: string): Set<string> {
  const names = new Set<string>()
  for (const { name, assertionResults } of report.testResults)
    for (const { status, fullName } of assertionResults)
      if (status === 'passed') names.add(nameOf({ file: relative(root, name), name: fullName }))
  for (const failure of failuresOf(report, root)) names.delete(nameOf(failure))
  return names
}

function nameOf({ file, name }: Pick<Failure, 'file' | 'name'>): string {
  return `${file} > ${name}`
}
