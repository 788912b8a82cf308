package cli

import (
	"fmt"
	"reflect"
	"sort"
	"strings"
)

// CompletionCommand prints a completion script.
type CompletionCommand struct {
	Shell string `arg:"" enum:"bash,zsh,fish" help:"bash, zsh or fish."`
}

// Help is the long help with examples.
func (CompletionCommand) Help() string {
	return `Examples:
  source <(rinsewright completion bash)
  rinsewright completion fish > ~/.config/fish/completions/rinsewright.fish`
}

// Run prints the script. It completes commands, their flags and file names;
// the words come from the command line's own types, so they cannot go stale.
func (c CompletionCommand) Run(desk Desk) error {
	verbs := commandFlags()
	var err error
	switch c.Shell {
	case "fish":
		_, err = fmt.Fprint(desk.Out, fishScript(verbs))
	case "zsh":
		_, err = fmt.Fprint(desk.Out, "autoload -U +X bashcompinit && bashcompinit\n", bashScript(verbs))
	default:
		_, err = fmt.Fprint(desk.Out, bashScript(verbs))
	}
	return err
}

// commandFlags maps each command to its flags, from the struct that kong reads.
func commandFlags() map[string][]string {
	verbs := map[string][]string{}
	t := reflect.TypeOf(Commands{})
	for i := range t.NumField() {
		f := t.Field(i)
		verbs[strings.ToLower(f.Name)] = flagsOf(f.Type)
	}
	return verbs
}

func flagsOf(t reflect.Type) (flags []string) {
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			flags = append(flags, flagsOf(f.Type)...)
			continue
		}
		if _, positional := f.Tag.Lookup("arg"); positional || !f.IsExported() {
			continue
		}
		name := f.Tag.Get("name")
		if name == "" {
			name = strings.ToLower(f.Name)
		}
		flags = append(flags, "--"+name)
	}
	sort.Strings(flags)
	return flags
}

func sortedKeys(m map[string][]string) (keys []string) {
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

func bashScript(verbs map[string][]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "_rinsewright() {\n  local word=\"${COMP_WORDS[COMP_CWORD]}\" verb=\"${COMP_WORDS[1]}\"\n")
	fmt.Fprintf(&b, "  if [ \"$COMP_CWORD\" -eq 1 ]; then COMPREPLY=($(compgen -W %q -- \"$word\")); return; fi\n  case \"$verb\" in\n", strings.Join(sortedKeys(verbs), " "))
	for _, verb := range sortedKeys(verbs) {
		fmt.Fprintf(&b, "    %s) COMPREPLY=($(compgen -W %q -- \"$word\") $(compgen -f -- \"$word\"));;\n", verb, strings.Join(verbs[verb], " "))
	}
	b.WriteString("  esac\n}\ncomplete -F _rinsewright rinsewright\n")
	return b.String()
}

func fishScript(verbs map[string][]string) string {
	var b strings.Builder
	for _, verb := range sortedKeys(verbs) {
		fmt.Fprintf(&b, "complete -c rinsewright -n __fish_use_subcommand -a %s\n", verb)
		for _, flag := range verbs[verb] {
			fmt.Fprintf(&b, "complete -c rinsewright -n '__fish_seen_subcommand_from %s' -l %s\n", verb, strings.TrimPrefix(flag, "--"))
		}
	}
	return b.String()
}
