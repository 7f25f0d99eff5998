// How the tests run. `vitest run` needs no server; `vitest run --mode postgres --project database --project races` runs
// the tests that touch a database on the server that TEST_DATABASE_URL names; `vitest run --mode long` tries all
// that `vitest run` tries a sample of (tests/support/sampled.ts), and takes hours.
import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

/** The rooms of tests/ whose tests touch a database. */
const DATABASE_TESTS = ['database', 'records', 'jobs', 'resolvers', 'schema', 'api', 'model']
  .map((room) => `tests/${room}/**/*.test.ts`)
  .concat('tests/docs/readme.test.ts', 'tests/start/plan-in-force.test.ts', 'tests/tools/seasons/**/*.test.ts')

/** They start servers of their own, most of them in processes that they kill. */
const RACES = ['tests/races/**/*.test.ts', 'tests/start/start.test.ts', 'tests/tools/soak/*.test.ts']

export default defineConfig(({ mode }) => {
  const server = mode === 'postgres' || mode === 'long' ? process.env.TEST_DATABASE_URL : ''
  if (server === undefined) throw new Error('Set TEST_DATABASE_URL to a PostgreSQL server that may be written to.')
  const url = mode === 'postgres' ? server : ''
  const LONG = mode === 'long' ? 'yes' : ''
  return {
    // One copy of graphql for the sources and for the packages that use it: the one that Node itself resolves.
    resolve: { alias: [{ find: /^graphql$/, replacement: fileURLToPath(import.meta.resolve('graphql')) }] },
    test: {
      // Far more than any test takes on a quiet machine: beside other work some take three times as long.
      testTimeout: mode === 'long' ? 120_000 : 90_000,
      hookTimeout: 60_000,
      // What happens by itself may take long on a busy machine.
      expect: { poll: { timeout: 30_000 } },
      // Every core: by itself vitest leaves one idle, half the machine where there are two.
      maxWorkers: '100%',
      reporters: ['default', './tests/support/slowest-files.ts'],
      projects: [
        {
          extends: true,
          // The files of a worker share what they have loaded; so those without a database and those with one take turns.
          test: {
            name: 'pure',
            isolate: false,
            sequence: { groupOrder: 1 },
            env: { TEST_DATABASE_URL: url, LONG },
            include: ['tests/**/*.test.ts'],
            exclude: [...DATABASE_TESTS, ...RACES],
          },
        },
        {
          extends: true,
          test: {
            name: 'races',
            sequence: { groupOrder: 2 },
            include: RACES,
            env: { TEST_DATABASE_URL: server, LONG },
          },
        },
        {
          extends: true,
          test: {
            name: 'database',
            include: DATABASE_TESTS,
            // The files of a worker share one database, which costs seconds to start; each begins with it empty.
            isolate: false,
            env: { TEST_DATABASE_URL: url, LONG },
            globalSetup: 'tests/support/template-database.ts',
            setupFiles: 'tests/support/audit-all.ts',
          },
        },
      ],
    },
  }
})
