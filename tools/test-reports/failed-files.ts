// Prints the files in which tests failed, a line each, for `.ci/run` to run them once more: a machine that stands still for seconds
// fails a test now and then, a fault fails it again. Prints nothing where so many failed that it cannot be that.
import { readFileSync } from 'node:fs'
import { failuresOf, parseReport } from './reports.ts'

/** In files. More than these fail by a fault. */
const MOST_FILES = 5

const [report] = process.argv.slice(2)
if (report === undefined) throw new Error('Say which report: failed-files.ts FILE.json')
const files = new Set(failuresOf(parseReport(readFileSync(report, 'utf8')), process.cwd()).map(({ file }) => file))
if (files.size <= MOST_FILES) for (const file of files) console.log(file)
