// A server as `npm start` runs it, in a process of its own: started, waited for, stopped or killed. For tests and benchmarks.
import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

/** What it says once it answers requests. */
const ANSWERS = ' answers at http'
/** The program itself. */
const PROGRAM = 'src/start/start.ts'

export interface ServerProcess {
  /** The process of it; undefined where it could not be begun. */
  pid: number | undefined
  /** All that it has printed so far. */
  output(): string
  /** Where it answers, such as `http://127.0.0.1:4000`; '' until it says so. */
  address(): string
  /** Waits until it has printed the text. Rejects where it ends without. */
  until(text: string): Promise<void>
  /** Its exit code; null where a signal ended it. */
  ended: Promise<number | null>
  /** Ends it in good order and answers its exit code. */
  stop(): Promise<number | null>
  /** Signal 9: it ends at once, whatever it is doing. */
  kill(): Promise<void>
}

/** One key sends all the load. */
const UNLIMITED = { KEY_REQUESTS: '1000000000', KEY_COST: '1000000000000' }

/** Starts a server with these environment variables beside this process's own; the system chooses its port. */
export function startServer(environment: Record<string, string>, program = PROGRAM): ServerProcess {
  const child = spawn(process.execPath, ['--import', 'tsx', program], {
    cwd: ROOT,
    env: { ...process.env, DATABASE_URL: '', PORT: '0', ...UNLIMITED, ...environment },
  })
  let output = ''
  child.stdout.on('data', (chunk) => (output += chunk))
  child.stderr.on('data', (chunk) => (output += chunk))
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve))
  let over = false
  void ended.then(() => (over = true))
  return {
    pid: child.pid,
    output: () => output,
    address: () => /http:\/\/[\d.:]+/.exec(output)?.[0] ?? '',
    until: async (text) => {
      while (!output.includes(text)) {
        if (over) throw new Error(`it ended without saying "${text}":\n${output}`)
        await new Promise((resolve) => setTimeout(resolve, 20))
      }
    },
    ended,
    stop: () => {
      child.kill('SIGTERM')
      return ended
    },
    kill: async () => {
      child.kill('SIGKILL')
      await ended
    },
  }
}

/** Starts a server and waits until it answers. */
export async function startedServer(environment: Record<string, string>, program = PROGRAM): Promise<ServerProcess> {
  const server = startServer(environment, program)
  await server.until(ANSWERS)
  return server
}
