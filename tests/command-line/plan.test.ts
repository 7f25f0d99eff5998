// npm run plan and npm run promise, run as commands on files, as a user runs them.
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { randomProblem } from '../../seeds/random-problem.ts'
import { checkPlan, parsePlan, parseProblem } from '../../src/planner/index.ts'

const folder = mkdtempSync(join(tmpdir(), 'fillwright-'))
const file = (name: string) => join(folder, name)
const problem = randomProblem(3, 'MIXED')
const run = (command: string, ...args: string[]) =>
  spawnSync(process.execPath, ['--import', 'tsx', `src/command-line/${command}.ts`, ...args], { encoding: 'utf8' })

beforeAll(() => writeFileSync(file('problem.json'), JSON.stringify(problem)))
afterAll(() => rmSync(folder, { recursive: true }))

describe('npm run plan', () => {
  it('writes a valid plan, and nothing else, to the standard output', () => {
    const { stdout, status } = run('plan', file('problem.json'), '--steps', '50')
    expect(status).toBe(0)
    const parsed = parsePlan(JSON.parse(stdout), problem)
    expect(parsed.ok && checkPlan(problem, parsed.plan).violations).toEqual([])
  })

  it('says no word of its own when npm runs it silently, so that its output can go on to other programs', () => {
    const words = ['run', '-s', 'plan', '--', file('problem.json'), '--steps', '5']
    const { stdout, status } = spawnSync('npm', words, { encoding: 'utf8' })
    expect(status).toBe(0)
    expect(parsePlan(JSON.parse(stdout), problem)).toMatchObject({ ok: true })
  })

  it('gives the same plan from two threads each time, with a lower bound or without, and names a bound that the plan keeps', () => {
    const args = [file('problem.json'), '--steps', '20', '--threads', '2']
    const first = run('plan', ...args, '--bound')
    expect(run('plan', ...args).stdout).toBe(first.stdout)
    const [, cost, bound] = /Cost ([\d.]+), lower bound ([\d.]+) \(\w+\), gap/.exec(first.stderr) ?? []
    expect(Number(bound)).toBeLessThanOrEqual(Number(cost))
  })

  it('lists every fault of a broken problem and exits with 2', () => {
    const broken = {
      ...problem,
      today: '2027-02-31',
      extra: 1,
      vessels: [{ ...problem.vessels[0], minFillLitres: 1e6 }],
    }
    writeFileSync(file('broken.json'), JSON.stringify(broken))
    const parsed = parseProblem(broken)
    const { stdout, stderr, status } = run('plan', file('broken.json'))
    expect(status).toBe(2)
    expect(stdout).toBe('')
    for (const fault of parsed.ok ? [] : parsed.faults) expect(stderr).toContain(fault.code)
    expect(stderr).toContain('2027-02-31')
    expect(stderr).toContain('extra')
  })

  it('refuses options that it does not have, and both a time and a number of steps', () => {
    expect(run('plan', file('problem.json'), '--fast').status).toBe(2)
    expect(run('plan', file('problem.json'), '--steps', '1', '--seconds', '1').status).toBe(2)
    expect(run('plan', file('problem.json'), '--steps', 'many').stderr).toContain('--steps takes a whole number')
  })
})

describe('npm run promise', () => {
  beforeAll(() => {
    run('plan', file('problem.json'), '--steps', '5', '--out', file('plan.json'))
  })

  it('answers for a new line in a plan, with the time that the placement took', () => {
    writeFileSync(file('line.json'), JSON.stringify({ ...problem.orderLines[0], id: 'asked-for' }))
    const { stdout, status } = run('promise', file('problem.json'), file('plan.json'), file('line.json'))
    expect(status).toBe(0)
    const { answers, milliseconds } = JSON.parse(stdout)
    expect(answers).toMatchObject([{ orderLineId: 'asked-for', quantity: problem.orderLines[0]?.quantity }])
    expect(milliseconds).toBeGreaterThanOrEqual(0)
  })

  it('names the faults of a line, not of the problem', () => {
    writeFileSync(file('line.json'), JSON.stringify({ ...problem.orderLines[0], id: 'asked-for', packId: 'nothing' }))
    const { stderr, status } = run('promise', file('problem.json'), file('plan.json'), file('line.json'))
    expect(status).toBe(2)
    expect(stderr).toContain('lines[0].packId')
    expect(readFileSync(file('plan.json'), 'utf8')).toContain('"brews"')
  })
})
