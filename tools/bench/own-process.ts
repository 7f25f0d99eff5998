// One size of a part in a process of its own, so that the memory measured is that of this size alone.
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import type { Report } from './part.ts'

const judged = z.object({ plans: z.number(), faults: z.array(z.string()) })

/**
 * Runs a script of this folder with some numbers. It prints one JSON object of the shape, beside the plans that it made and
 * their faults, which go to the report. Throws where it fails.
 */
export function inOwnProcess<Shape extends z.ZodRawShape>(
  report: Report,
  script: string,
  numbers: readonly number[],
  shape: z.ZodObject<Shape>,
): z.output<z.ZodObject<Shape>> {
  const path = fileURLToPath(new URL(script, import.meta.url))
  const { status, stdout, stderr } = spawnSync(process.execPath, ['--import', 'tsx', path, ...numbers.map(String)], {
    encoding: 'utf8',
  })
  if (status !== 0) throw new Error(`${script} ${numbers.join(' ')}: ended with ${status}: ${stderr.slice(-2000)}`)
  const answer: unknown = JSON.parse(stdout)
  const { plans, faults } = judged.parse(answer)
  report.plans += plans
  for (const fault of faults) report.fault(fault)
  return shape.parse(answer)
}

/** The most memory that this process ever held, in MiB. Linux and macOS alike: Node says kibibytes. */
export function mostMemory(): number {
  return process.resourceUsage().maxRSS / 1024
}
