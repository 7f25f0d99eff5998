// What the command line of the benchmark says to parts that ask for it.
import { z } from 'zod'

/** What the command line says to parts that ask for it. */
export interface PartOptions {
  /** The folder of published instances. */
  folder?: string
  /** Another commit, for parts that compare plans with it. */
  against?: string
  /** Days of each season. */
  days?: number
  /** What becomes of unsaid work in a season; absent: both. */
  setting?: 'ASSUMED' | 'DUE_UNTIL_SAID'
  /** Which brewery lives through a season; absent: the whole demo. */
  brewery?: 'BOTH_SITES' | 'HITHELOW'
}

const BREWERIES = { demo: 'BOTH_SITES', small: 'HITHELOW' } as const
const SETTINGS = { assumed: 'ASSUMED', due: 'DUE_UNTIL_SAID' } as const

/** Reads them. Throws an error that says what is wrong. */
export function optionsOf({
  folder,
  against,
  days,
  setting,
  brewery,
}: Record<string, string | boolean | undefined>): PartOptions {
  const shape = z.object({
    folder: z.string().optional(),
    against: z.string().optional(),
    days: z.coerce.number('Days are a number.').int().min(1, 'Days are 1 or more.').optional(),
    setting: z
      .enum(['assumed', 'due'], 'The setting is assumed or due.')
      .transform((name) => SETTINGS[name])
      .optional(),
    brewery: z
      .enum(['demo', 'small'], 'The brewery is demo or small.')
      .transform((name) => BREWERIES[name])
      .optional(),
  })
  const parsed = shape.safeParse({ folder, against, days, setting, brewery })
  if (!parsed.success) throw new Error(parsed.error.issues.map(({ message }) => message).join(' '))
  return parsed.data
}
