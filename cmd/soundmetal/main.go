// Command soundmetal plans the weld repair of a cracked, loaded steel part.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }
