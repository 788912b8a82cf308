package cli

import (
	"errors"
	"fmt"
	"net/url"
	"strings"

	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
)

// MoveCommand moves everything from one database into another.
type MoveCommand struct {
	From     string `required:"" placeholder:"PLACE" help:"Folder of the data, or the postgres:// address of a database."`
	To       string `required:"" placeholder:"PLACE" help:"Empty folder, or the address of an empty database."`
	FromData string `placeholder:"DIR" type:"path" help:"Folder of the photos beside a database that is moved."`
	ToData   string `placeholder:"DIR" type:"path" help:"New folder for the photos beside a database that is moved into."`
	JSON     bool   `name:"json" help:"Print one JSON object instead."`
}

// Help is the long help with examples.
func (MoveCommand) Help() string {
	return `Moves from SQLite to PostgreSQL, back, or from one machine's folder to another,
and reads back what arrived: its content has the same hash. The old place stays as
it is. Stop the program first: what is written meanwhile stays behind, which this
command tells.

People sign in again, and programs get new tokens.

Examples:
  rinsewright move --from /srv/rinsewright \
    --to postgres://rinsewright@db/rinse --to-data /srv/photos
  rinsewright move --from postgres://rinsewright@db/rinse \
    --from-data /srv/photos --to /srv/back

Exit code 0 when it is there and the same, 1 when somebody wrote meanwhile, 2
when it could not be moved.`
}

// Run moves.
func (c MoveCommand) Run(desk Desk) error {
	from, err := placed(c.From, c.FromData, "--from-data")
	if err != nil {
		return err
	}
	to, err := placed(c.To, c.ToData, "--to-data")
	if err != nil {
		return err
	}
	a := archived{Path: unsaid(c.From), To: to.Data}
	if to.Database != "" {
		a.besides = " --database " + unsaid(to.Database)
	}
	err = from.with(desk.Context, desk.Version, func(source archive.Source, _ string) (err error) {
		a.Manifest, err = archive.Move(desk.Context, source, archive.Place{Data: to.Data, Database: to.Database})
		return err
	})
	switch {
	case errors.Is(err, archive.ErrWritten):
		err = &said{code: ExitNo, text: err.Error(), hint: "stop the program that serves the old place, empty the new one and move again", cause: err}
	case errors.Is(err, store.ErrNotEmpty):
		err = bad(err, "name an empty place; move what is there away if it is not wanted")
	}
	return a.show(desk, "move", c.JSON, err)
}

// unsaid is an address without its password.
func unsaid(word string) string {
	if u, err := url.Parse(word); err == nil && u.User != nil {
		return u.Redacted()
	}
	return word
}

// placed is where data is, as one word and, for a database, the folder beside it.
func placed(word, folder, flag string) (DataPlace, error) {
	if !strings.HasPrefix(word, "postgres://") && !strings.HasPrefix(word, "postgresql://") {
		if folder != "" {
			return DataPlace{}, bad(fmt.Errorf("%s belongs to a database, and %s is a folder", flag, word), "")
		}
		return DataPlace{Data: word}, nil
	}
	if folder == "" {
		return DataPlace{}, bad(errors.New("photos do not lie in the database"), "say which folder they lie in: "+flag+" DIR")
	}
	return DataPlace{Data: folder, Database: word}, nil
}
