package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// shown is one command of a page with what the page shows of its output.
type shown struct {
	command string
	answers string // typed behind a prompt
	lines   []string
}

// commandsOf reads the blocks of a page: a line that begins with "$ " is a
// command, what follows is its output, also in a block of its own.
func commandsOf(t *testing.T, page string) (all []shown) {
	t.Helper()
	data, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	inside := false
	for _, line := range strings.Split(string(data), "\n") {
		switch {
		case strings.HasPrefix(line, "```"):
			inside = !inside
		case !inside:
		case strings.HasPrefix(line, "$ "):
			all = append(all, shown{command: strings.TrimPrefix(line, "$ ")})
		default:
			last := &all[len(all)-1]
			last.lines = append(last.lines, line)
			if prompt, answer, ok := strings.Cut(line+" ", "> "); ok && strings.HasPrefix(line, "    ") && strings.Count(prompt, "[") <= 1 {
				last.answers += strings.TrimSpace(answer) + "\n"
			}
		}
	}
	return all
}

// in finds the lines a page shows in the output, in order; "…" stands for
// lines left out.
func (s shown) in(output string) (missing string) {
	rest := output
	for _, part := range strings.Split(strings.Join(s.lines, "\n")+"\n", "…\n") {
		_, after, ok := strings.Cut(rest, part)
		if !ok {
			return part
		}
		rest = after
	}
	return ""
}

// shellWords splits a command as a shell does, single quotes only.
func shellWords(command string) []string {
	var all []string
	for i, part := range strings.Split(command, "'") {
		if i%2 == 1 {
			all[len(all)-1] += part
			continue
		}
		fields := strings.Fields(part)
		if len(fields) > 0 && i > 0 && !strings.HasPrefix(part, " ") {
			all[len(all)-1] += fields[0]
			fields = fields[1:]
		}
		all = append(all, fields...)
	}
	return all
}

func TestThePagesShowWhatIsPrinted(t *testing.T) {
	for _, page := range []string{"tutorial/first-survey.md", "howto/survey-without-a-laboratory.md"} {
		t.Run(page, func(t *testing.T) {
			commands := commandsOf(t, filepath.Join("../../docs", page))
			if len(commands) < 4 {
				t.Fatalf("%d commands are too few", len(commands))
			}
			t.Chdir(t.TempDir())
			for _, c := range commands {
				var screen, complaints bytes.Buffer
				desk := Desk{Context: context.Background(), In: strings.NewReader(c.answers), Out: &screen, Err: &complaints}
				if code := Run(desk, shellWords(c.command)[1:]); code == ExitBad || complaints.Len() > 0 {
					t.Fatalf("$ %s: exit %d, %s", c.command, code, complaints.String())
				}
				if missing := c.in(screen.String()); missing != "" {
					t.Errorf("$ %s: the page shows\n%s\nbut it prints\n%s", c.command, missing, screen.String())
				}
			}
		})
	}
}

func TestTheTutorialIsTheScript(t *testing.T) {
	data, err := os.ReadFile("../../cmd/rinsewright/testdata/script/survey_first.txtar")
	if err != nil {
		t.Fatal(err)
	}
	script := string(data)
	for i, c := range commandsOf(t, "../../docs/tutorial/first-survey.md") {
		if !strings.Contains(script, "\nexec "+c.command+"\n") {
			t.Errorf("the script does not run: %s", c.command)
		}
		if i == 0 && !strings.Contains(script, "-- ten.txt --\n"+c.answers) {
			t.Errorf("the script answers something else than the page:\n%s", c.answers)
		}
	}
}
