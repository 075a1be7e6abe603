/** The Java that runs the table emulator. */
import { execFile } from 'node:child_process'
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { promisify } from 'node:util'

const oldest = 17

const needed =
  `The local table needs Java ${oldest} or newer. Install one (for example "apt install openjdk-17-jre-headless" or\n` +
  '"brew install openjdk@17"), or set JAVA_HOME to the folder of one.'

let found: Promise<string> | undefined

/** The program to call. Java is asked for its version once. */
export function findJava(): Promise<string> {
  found ??= lookForJava()
  return found
}

async function lookForJava(): Promise<string> {
  const home = process.env.JAVA_HOME
  const java = home !== undefined && existsSync(join(home, 'bin', 'java')) ? join(home, 'bin', 'java') : 'java'
  const said = await promisify(execFile)(java, ['-version']).catch(() => ({ stdout: '', stderr: '' }))
  const fault = javaFault(said.stdout + said.stderr)
  if (fault !== undefined) throw new Error(fault)
  return java
}

/**
 * The fault of a Java, by its own words. Java 8 and older call themselves 1.8 and so on. @lintignore tried by itself
 */
export function javaFault(said: string): string | undefined {
  const version = /version "(?:1\.)?(\d+)/.exec(said)?.[1]
  if (version === undefined) return `No Java found. ${needed}`
  return Number(version) < oldest ? `Java ${version} found. ${needed}` : undefined
}
