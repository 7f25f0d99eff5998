// schema.prisma and the migrations say the same, and the comparison that says so notices when they don't.
import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { LONG } from '../support/sampled.ts'

const folder = await mkdtemp(join(tmpdir(), 'drift-'))
afterAll(() => rm(folder, { recursive: true }))

/** Compares the migrations with a schema: exit code 0 where they are the same, 2 where they differ, and what differs. */
function compare(schema: string): Promise<{ code: number; differences: string[] }> {
  const words = ['--from-migrations', 'prisma/migrations', '--to-schema', schema, '--exit-code']
  return new Promise((resolve) => {
    execFile('node_modules/.bin/prisma', ['migrate', 'diff', ...words], (error, stdout) => {
      const differences = stdout.split('\n').filter((line) => line.trim() !== '')
      resolve({ code: error === null ? 0 : Number(error.code), differences })
    })
  })
}

// Prisma's command line takes ten seconds; that the two agree at all is a step of `.ci/run` each time.
test.runIf(LONG)(
  'a schema with one field more differs from the migrations in that field and nothing else',
  async () => {
    const schema = await readFile('prisma/schema.prisma', 'utf8')
    const changed = join(folder, 'schema.prisma')
    await writeFile(changed, schema.replace('model Distributor {', 'model Distributor {\n  motto String?'))
    expect(await compare(changed)).toEqual({
      code: 2,
      differences: ['[*] Changed the `Distributor` table', '  [+] Added column `motto`'],
    })
  },
  120_000,
)
