// The check command: its exit codes and what it prints where.
import { spawnSync } from 'node:child_process'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { check } from '../../src/command-line/check.ts'
import { basePlan } from '../planner/base/base-plan.ts'
import { baseProblem } from '../planner/base/base-problem.ts'
import { ran } from '../support/run-command.ts'

let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'fillwright-check-'))
})
afterAll(() => rm(folder, { recursive: true }))

async function file(name: string, content: unknown): Promise<string> {
  const path = join(folder, name)
  await writeFile(path, typeof content === 'string' ? content : JSON.stringify(content))
  return path
}

describe('npm run check', () => {
  it('prints one line with the cost by term for a valid plan and exits with 0', async () => {
    const answer = await ran(check, await file('problem.json', baseProblem()), await file('plan.json', basePlan()))
    expect(answer).toEqual({
      code: 0,
      stdout:
        'Valid. Cost 18273.20: unserved 2800.00, latePromised 8800.00, late 3200.00, dumped 2262.00, unsold 461.20, ' +
        'brew 300.00, setup 105.00, drop 45.00, standing 250.00, churn 50.00.\n',
      stderr: '',
    })
  })

  it('lists what a wrong plan breaks and exits with 1', async () => {
    const plan = basePlan()
    plan.brews[1]!.litres = 3000
    const answer = await ran(check, await file('problem.json', baseProblem()), await file('wrong.json', plan))
    expect(answer.code).toBe(1)
    expect(answer.stdout).toContain('V1  2027-03-22  site "hill" makes 3 brews, and can make 2 on the day')
    expect(answer.stdout).toContain('V2  brew "P2" of 3000 L is more than the capacity 2000 L')
  })

  it('lists every fault of a broken problem on the error output and exits with 2', async () => {
    const problem = { ...baseProblem(), today: '2027-02-31', horizonDays: 0, colour: 'gold' }
    const answer = await ran(check, await file('broken.json', problem), await file('plan.json', basePlan()))
    expect(answer).toMatchObject({ code: 2, stdout: '' })
    expect(answer.stderr).toContain('has 3 faults')
    for (const text of ['NO_SUCH_DATE  today', 'OUT_OF_RANGE  horizonDays', 'UNKNOWN_KEY  colour'])
      expect(answer.stderr).toContain(text)
  })

  it('says as a program what its exit code is', () => {
    const program = ['--import', 'tsx', 'src/command-line/check.ts', join(folder, 'absent.json'), 'plan.json']
    const { status, stdout, stderr } = spawnSync(process.execPath, program, { encoding: 'utf8' })
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' })
    expect(stderr).toContain('absent.json cannot be read')
  })

  it('exits with 2 for a broken plan, for no JSON, for no file and for wrong arguments', async () => {
    const problem = await file('problem.json', baseProblem())
    const answers = await Promise.all([
      ran(check, problem, await file('empty.json', {})),
      ran(check, problem, await file('text.json', 'not a plan')),
      ran(check, problem, join(folder, 'absent.json')),
      ran(check, problem),
    ])
    expect(answers.map(({ code, stdout }) => ({ code, stdout }))).toEqual(answers.map(() => ({ code: 2, stdout: '' })))
    const said = ['brews: is missing', 'is no JSON', 'cannot be read', 'Usage: npm run check']
    answers.forEach(({ stderr }, index) => {
      expect(stderr).toContain(said[index])
    })
  })
})
