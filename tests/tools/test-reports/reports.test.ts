// How `.ci/run` judges what its test runs report.
import { expect, test } from 'vitest'
import { failuresOf, judge, parseReport, type TestReport, verdictText } from '../../../tools/test-reports/reports.ts'

const ROOT = '/a/project'

function report(files: Record<string, Record<string, 'passed' | 'failed' | 'skipped'>>): TestReport {
  const testResults = Object.entries(files).map(([file, tests]) => {
    const assertionResults = Object.entries(tests).map(([fullName, status]) => ({
      status,
      fullName,
      failureMessages: status === 'failed' ? [`AssertionError: ${fullName}\n    at line 1`] : [],
    }))
    const failed = assertionResults.length === 0 || assertionResults.some(({ status }) => status === 'failed')
    return {
      name: `${ROOT}/${file}`,
      status: failed ? 'failed' : 'passed',
      message: 'no such module',
      assertionResults,
    }
  })
  const passed = testResults.flatMap((file) => file.assertionResults).filter(({ status }) => status === 'passed')
  return parseReport(JSON.stringify({ numPassedTests: passed.length, testResults }))
}

test('a run in which all passes has no failure', () => {
  const verdict = judge(report({ 'a.test.ts': { one: 'passed', two: 'skipped' } }), undefined, ROOT)
  expect(verdict).toEqual({ passed: 1, failed: [], passedAgain: [] })
  expect(verdictText(verdict)).toBe('')
})

test('a failure is named by its file, its test and what it said', () => {
  const verdict = judge(report({ 'a.test.ts': { one: 'passed', two: 'failed' } }), undefined, ROOT)
  expect(verdict.passed).toBe(1)
  expect(verdict.failed).toEqual([{ file: 'a.test.ts', name: 'two', message: 'AssertionError: two\n    at line 1' }])
  expect(verdictText(verdict)).toContain('FAILED a.test.ts > two\nAssertionError: two')
})

test('a file that could not be loaded is one failure', () => {
  const broken = report({ 'a.test.ts': {}, 'b.test.ts': { one: 'passed' } })
  expect(failuresOf(broken, ROOT)).toEqual([{ file: 'a.test.ts', name: 'could not be run', message: 'no such module' }])
  expect(judge(broken, report({ 'a.test.ts': { one: 'passed' } }), ROOT)).toMatchObject({ passed: 2, failed: [] })
  expect(judge(broken, broken, ROOT).failed).toHaveLength(1)
})

test('what failed and then passed alone counts as passed, and is still said', () => {
  const verdict = judge(
    report({ 'a.test.ts': { one: 'passed', two: 'failed' } }),
    report({ 'a.test.ts': { one: 'passed', two: 'passed' } }),
    ROOT,
  )
  expect(verdict).toMatchObject({ passed: 2, failed: [], passedAgain: [{ name: 'two' }] })
  expect(verdictText(verdict)).toContain('FAILED ONCE, PASSED ALONE a.test.ts > two\n')
})

test('what failed twice, or did not come up the second time, has failed', () => {
  const first = report({ 'a.test.ts': { one: 'failed' }, 'b.test.ts': { one: 'failed' } })
  const again = report({ 'a.test.ts': { one: 'failed' }, 'b.test.ts': { two: 'passed' } })
  expect(judge(first, again, ROOT).failed.map(({ file }) => file)).toEqual(['a.test.ts', 'b.test.ts'])
})

test('tests that share a name have passed only where all of them did', () => {
  const twice = parseReport(
    JSON.stringify({
      numPassedTests: 1,
      testResults: [
        {
          name: `${ROOT}/a.test.ts`,
          status: 'failed',
          assertionResults: [
            { status: 'passed', fullName: 'one' },
            { status: 'failed', fullName: 'one', failureMessages: ['no'] },
          ],
        },
      ],
    }),
  )
  expect(judge(twice, twice, ROOT).failed).toHaveLength(1)
})
