package cli

import (
	"fmt"
	"os"
	"strings"
	"text/template"
)

// unitText is a unit for systemd. What it forbids the program never needs: it
// writes below its own folder, talks to who asks it and to its database, and runs
// nothing else.
var unitText = template.Must(template.New("unit").Parse(`# /etc/systemd/system/rinsewright.service
# Then: systemctl daemon-reload && systemctl enable --now rinsewright
[Unit]
Description=Rinsewright, the office of rinse systems
After=network-online.target{{if .Database}} postgresql.service{{end}}
Wants=network-online.target

[Service]
ExecStart={{.Program}} serve{{range .Flags}} {{.}}{{end}}
{{if .Database}}# The address of the database may hold a password, so it stands in a file that
# only root reads, as RINSEWRIGHT_DATABASE=postgres://...
EnvironmentFile=/etc/rinsewright/environment
{{end}}DynamicUser=yes
StateDirectory=rinsewright
StateDirectoryMode=0700
UMask=0077
Restart=on-failure
RestartSec=2
TimeoutStopSec=30
LimitNOFILE=65536

# It asks for nothing more than this.
CapabilityBoundingSet={{if .Low}}CAP_NET_BIND_SERVICE
AmbientCapabilities=CAP_NET_BIND_SERVICE{{end}}
NoNewPrivileges=yes
ProtectSystem=strict
ProtectHome=yes
PrivateTmp=yes
PrivateDevices=yes
ProtectProc=invisible
ProtectClock=yes
ProtectHostname=yes
ProtectKernelLogs=yes
ProtectKernelModules=yes
ProtectKernelTunables=yes
ProtectControlGroups=yes
RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX
RestrictNamespaces=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
LockPersonality=yes
MemoryDenyWriteExecute=yes
RemoveIPC=yes
SystemCallArchitectures=native
SystemCallFilter=@system-service
SystemCallFilter=~@privileged @resources
SystemCallErrorNumber=EPERM

[Install]
WantedBy=multi-user.target
`))

// printUnit prints a unit that starts serve with these flags.
func (c ServeCommand) printUnit(desk Desk) error {
	program, err := os.Executable()
	if err != nil {
		return bad(fmt.Errorf("find this program: %w", err), "")
	}
	about := struct {
		Program  string
		Flags    []string
		Database bool
		Low      bool // a port that only root may open
	}{Program: unitWord(program), Database: c.Database != ""}
	about.Flags = []string{"--data=/var/lib/rinsewright", unitWord("--listen=" + c.Listen)}
	port := c.Listen[strings.LastIndexByte(c.Listen, ':')+1:]
	about.Low = len(port) < 4
	for flag, value := range map[string]string{"--base-path": c.BasePath, "--certificate": c.Cert, "--key": c.Key} {
		if value != "" {
			about.Flags = append(about.Flags, unitWord(flag+"="+value))
		}
	}
	for _, p := range c.Proxies {
		about.Flags = append(about.Flags, unitWord("--trusted-proxy="+p))
	}
	if c.Phones {
		about.Flags = append(about.Flags, "--phones")
	}
	return unitText.Execute(desk.Out, about)
}

// unitWord is a word of a command as systemd reads it.
func unitWord(word string) string {
	word = strings.NewReplacer("%", "%%", "$", "$$").Replace(word)
	if strings.ContainsAny(word, " \t\"'\\;") {
		return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(word) + `"`
	}
	return word
}
