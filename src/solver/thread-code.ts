// What all threads run, as one script that is put together once in a process, when the first of them is wanted. A thread that read
// the sources file by file through a loader of its own needed longer to begin than many a plan takes.
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'

let code: Promise<string> | undefined

/** The script of `src/solver/thread.ts` with all that it imports. Rejects where the sources cannot be read. */
export function threadCode(): Promise<string> {
  code ??= bundled()
  return code
}

async function bundled(): Promise<string> {
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL('./thread.ts', import.meta.url))],
    bundle: true,
    platform: 'node',
    format: 'cjs',
    write: false,
    logLevel: 'silent',
    // A script has no address; what asks for one looks for files of this folder.
    define: { 'import.meta.url': JSON.stringify(import.meta.url) },
  })
  const [file] = outputFiles
  if (!file) throw new Error('The threads have no code.')
  return file.text
}
