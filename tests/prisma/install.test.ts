// Installing fetches npm packages and nothing else: no package that it brings runs a script that would.
import { readFile } from 'node:fs/promises'
import { expect, test } from 'vitest'
import { z } from 'zod'

const lock = z
  .object({
    packages: z.record(
      z.string(),
      z.looseObject({
        hasInstallScript: z.boolean().optional(),
        resolved: z.string().optional(),
        link: z.boolean().optional(),
      }),
    ),
  })
  .parse(JSON.parse(await readFile('package-lock.json', 'utf8')))

test('only two packages run a script at install: one looks at the version of Node, one at its own program', () => {
  const running = Object.entries(lock.packages).filter(([name, entry]) => name !== '' && entry.hasInstallScript)
  expect(running.map(([name]) => name)).toEqual(['node_modules/esbuild', 'node_modules/prisma'])
})

test("Prisma's package of engines, which fetches a native program at install, is replaced by ours", () => {
  expect(lock.packages['node_modules/@prisma/engines']).toMatchObject({ resolved: 'tools/prisma-engines', link: true })
  expect(Object.keys(lock.packages).filter((name) => name.endsWith('@prisma/fetch-engine'))).toEqual([])
})

test('the lock file names no registry: any mirror can install from it', () => {
  const fetched = Object.values(lock.packages).filter(({ resolved }) => resolved?.includes('://'))
  expect(fetched).toEqual([])
})
